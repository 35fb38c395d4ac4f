package linkbudget

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// -10 log(1 - rho^2), computed.
func TestMismatchLoss(t *testing.T) {
	for vswr, want := range map[float64]float64{1: 0, 1.2: 0.036, 1.5: 0.177, 2: 0.512, 3: 1.249} {
		got, err := MismatchLoss(vswr)
		if err != nil {
			t.Error(err)
		}
		radioWithin(t, fmt.Sprintf("VSWR %v", vswr), float64(got), want, 0.0005)
	}
	for _, vswr := range []float64{0.99, 0, -2, 1001, math.NaN(), math.Inf(1)} {
		if got, err := MismatchLoss(vswr); err == nil {
			t.Errorf("VSWR %v passed: %v", vswr, got)
		}
	}
	// The same through 4s/(s+1)^2.
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.Float64Range(1, 1000).Draw(t, "vswr")
		got, err := MismatchLoss(s)
		if want := -10 * math.Log10(4*s/((s+1)*(s+1))); err != nil || !(math.Abs(float64(got)-want) <= 1e-9) {
			t.Fatalf("VSWR %v: %v, %v, want %v", s, got, err, want)
		}
	})
}

// -20 log|cos|, computed; 90 degrees is infinite in theory and bounded here.
func TestPolarisationLoss(t *testing.T) {
	for angleDeg, want := range map[float64]float64{
		0: 0, 10: 0.13, 30: 1.25, 45: 3.01, 60: 6.02, 90: 20,
		-30: 1.25, 150: 1.25, 180: 0, 270: 20, 360e6 + 60: 6.02, // periodic and even
	} {
		got, err := PolarisationLoss(angleDeg, CrossPolarLossClear)
		if err != nil {
			t.Error(err)
		}
		radioWithin(t, fmt.Sprintf("%v degrees", angleDeg), float64(got), want, 0.005)
	}
	if got, err := PolarisationLoss(89, CrossPolarLossObstructed); err != nil || got != CrossPolarLossObstructed {
		t.Errorf("89 degrees, obstructed: %v, %v, want %v", got, err, CrossPolarLossObstructed)
	}
	radioWithin(t, "linear to circular", float64(CircularPolarisationLoss), 10*math.Log10(2), 0.0001)
	for _, bad := range []struct {
		angleDeg float64
		bound    DB
	}{{math.NaN(), 20}, {math.Inf(1), 20}, {45, -1}, {45, DB(math.NaN())}, {45, DB(math.Inf(1))}} {
		if got, err := PolarisationLoss(bad.angleDeg, bad.bound); err == nil {
			t.Errorf("%+v passed: %v", bad, got)
		}
	}
}
