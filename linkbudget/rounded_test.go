package linkbudget_test

import (
	"strconv"
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

// What is printed is on the side of the threshold on which the word beside it is; by hand.
func TestRoundedNeverContradictsTheWord(t *testing.T) {
	for _, c := range []struct {
		v          float64
		decimals   int
		thresholds []float64
		want       string
	}{
		{89.6, 0, []float64{50, 90}, "89"}, // marginal below 90
		{90.4, 0, []float64{50, 90}, "90"},
		{49.7, 0, []float64{50, 90}, "49"}, // short below 50
		{92.4, 0, []float64{50, 92.5}, "92"},
		{92.5, 0, []float64{50, 92.5}, "92.5"},
		{0.598, 2, []float64{0, 0.6}, "0.59"},   // grazing below 0.6
		{-0.001, 2, []float64{0, 0.6}, "-0.01"}, // blocked below 0
		{1.26, 1, nil, "1.3"},
	} {
		got := linkbudget.Rounded(c.v, c.decimals, c.thresholds...)
		if read, err := strconv.ParseFloat(got, 64); err != nil || len(c.thresholds) > 1 && (read >= c.thresholds[1]) != (c.v >= c.thresholds[1]) || got != c.want {
			t.Errorf("%g beside %v: %q, want %q", c.v, c.thresholds, got, c.want)
		}
	}
	if a, b := linkbudget.RoundedApart(4.12, 4.14, 1); a != "4.1" || b != "4.2" {
		t.Errorf("4.12 of 4.14: %s of %s", a, b)
	}
	if a, b := linkbudget.RoundedApart(3.36, 3.54, 1); a != "3.4" || b != "3.5" {
		t.Errorf("3.36 of 3.54: %s of %s", a, b)
	}
	if got := linkbudget.ChanceText(0.8975, 0); got != "89" {
		t.Errorf("marginal with %s %%", got)
	}
}
