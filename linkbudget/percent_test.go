package linkbudget_test

import (
	"testing"

	"github.com/polereach/polereach/linkbudget"
)

// By hand: whole percent, and never 0 or 100.
func TestPercentText(t *testing.T) {
	for p, want := range map[float64]string{0: "<1", 0.0049: "<1", 0.005: "<1", 0.0051: "1", 0.006: "1", 0.5: "50", 0.904: "90", 0.9949: "99", 0.995: ">99", 1: ">99"} {
		if got := linkbudget.PercentText(p); got != want {
			t.Errorf("%g: %q, want %q", p, got, want)
		}
	}
}
