package linkbudget_test

import (
	"testing"

	"github.com/polereach/polereach/linkbudget"
)

// By hand: whole percent, down, so that a marginal 89.7 % is no 90; and never 0 or 100.
func TestPercentText(t *testing.T) {
	for p, want := range map[float64]string{0: "<1", 0.0049: "<1", 0.005: "<1", 0.0099: "<1", 0.01: "1", 0.29: "29", 0.896: "89", 0.8999: "89", 0.9: "90", 0.5: "50", 0.904: "90", 0.9949: "99", 0.995: ">99", 1: ">99"} {
		if got := linkbudget.PercentText(p); got != want {
			t.Errorf("%g: %q, want %q", p, got, want)
		}
	}
}

// A clearance that grazes never reads 0.60, one that is blocked never 0.00.
func TestFresnelText(t *testing.T) {
	for f, want := range map[float64]string{0.5999: "0.59", 0.6: "0.60", 0.678: "0.67", -0.001: "-0.01", 0: "0.00", 1.1: "1.10", 0.29: "0.29"} {
		if got := linkbudget.FresnelText(f, 2); got != want {
			t.Errorf("%g: %q, want %q", f, got, want)
		}
	}
	if got := linkbudget.FresnelText(0.68, 1); got != "0.6" {
		t.Errorf("0.68 with a decimal: %q, want 0.6", got)
	}
}
