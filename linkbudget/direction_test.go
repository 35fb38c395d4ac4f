package linkbudget_test

import (
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/radio"
)

// Crossed antennas lose 20 dB on a clear path and 9 dB behind an obstacle, the
// middles of the ranges 15 to 25 and 6 to 12 (propagation.md section 9.3, from
// memory), and nothing in between is a step: a pole rising through the line of
// sight by a centimetre never moves the loss by more than a fraction of a
// decibel, and a clearer path never has the weaker signal for being crossed.
func TestCrossedAntennasLoseWithoutAStep(t *testing.T) {
	ridge := profile(6e3, 121, func(x float64) float64 { return 100 + 60*math.Exp(-math.Pow((x-0.5)/0.03, 2)) })
	cross := func(heightM float64) (lost, level float64) {
		a, b := linkbudget.DefaultStation("a", heightM), linkbudget.DefaultStation("b", heightM)
		b.Polarisation = radio.Horizontal
		r, err := linkbudget.Evaluate(ridge, a, b, environment())
		if err != nil {
			t.Fatal(err)
		}
		for _, item := range r.Forward.Items {
			if item.Name == "crossed polarisation" {
				return -float64(item.DB), float64(r.Forward.RxDBm)
			}
		}
		t.Fatal("no crossed polarisation")
		return 0, 0
	}
	if lost, _ := cross(10); !(math.Abs(lost-9) <= 1e-9) {
		t.Errorf("behind the ridge %.3f dB, want 9", lost)
	}
	if lost, _ := cross(250); !(math.Abs(lost-20) <= 1e-9) {
		t.Errorf("clear of the ridge %.3f dB, want 20", lost)
	}
	before, levelBefore := cross(10)
	for h := 10.01; h < 130; h += 0.01 {
		lost, level := cross(h)
		if !(math.Abs(lost-before) <= 0.2) {
			t.Fatalf("from %.2f to %.2f m the loss steps from %.2f to %.2f dB", h-0.01, h, before, lost)
		}
		if !(level >= levelBefore-0.01) {
			t.Fatalf("from %.2f to %.2f m the level falls from %.3f to %.3f dBm", h-0.01, h, levelBefore, level)
		}
		before, levelBefore = lost, level
	}
}
