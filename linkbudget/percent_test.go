package linkbudget_test

import (
	"testing"

	"github.com/polereach/polereach/linkbudget"
)

// By hand: whole percent, down, so that a marginal 89.7 % is no 90; and never 0 or 100.
func TestPercentText(t *testing.T) {
	for p, want := range map[float64]string{0: "<1", 0.0049: "<1", 0.005: "<1", 0.0099: "<1", 0.01: "1", 0.29: "29",
		0.896: "89", 0.8999: "89", 0.9: "90", 0.5: "50", 0.904: "90", 0.9949: "99", 0.995: ">99", 1: ">99"} {
		if got := linkbudget.PercentText(p); got != want {
			t.Errorf("%g: %q, want %q", p, got, want)
		}
	}
}

// A clearance that grazes never reads 0.60, one that is blocked never 0.00.
func TestFresnelText(t *testing.T) {
	for f, want := range map[float64]string{0.5999: "0.59", 0.6: "0.60", 0.678: "0.67", -0.001: "-0.01", 0: "0.00",
		1.1: "1.10", 0.29: "0.29"} {
		if got := linkbudget.FresnelText(f, 2); got != want {
			t.Errorf("%g: %q, want %q", f, got, want)
		}
	}
	if got := linkbudget.FresnelText(0.68, 1); got != "0.6" {
		t.Errorf("0.68 with a decimal: %q, want 0.6", got)
	}
}

// Beside a verdict the figure is on the side of the wanted one on which the word is.
func TestChanceText(t *testing.T) {
	for _, c := range []struct {
		p, want float64
		text    string
	}{{0.8975, 0, "89"}, {0.904, 0, "90"}, {0.497, 0, "49"}, {0.924, 92.5, "92"}, {0.9251, 92.5, "92.5"},
		{0.927, 92.5, "92.7"}, {0.9993, 99.9, ">99"}} {
		if got := linkbudget.ChanceText(c.p, c.want); got != c.text {
			t.Errorf("%g where %g is wanted: %q, want %q", c.p, c.want, got, c.text)
		}
	}
	for _, c := range [][4]any{{4.12, 4.14, "4.1", "4.2"}, {3.36, 3.54, "3.4", "3.5"}} {
		if a, b := linkbudget.RoundedApart(c[0].(float64), c[1].(float64), 1); a != c[2] || b != c[3] {
			t.Errorf("%v of %v: %s of %s", c[0], c[1], a, b)
		}
	}
}
