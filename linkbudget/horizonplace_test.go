package linkbudget_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/polereach/polereach/linkbudget/diffraction"
)

// The places of both horizons are those of points, to the last bit, so that they
// can be looked for among the points again.
func TestHorizonsAreFoundAgain(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 15))
	inside := 0
	for range 2000 {
		lengthM, n := 500+30e3*rng.Float64(), 3+rng.IntN(300)
		p := profile(lengthM, n, func(float64) float64 { return 100 * rng.Float64() })
		s := diffraction.Sightline{DistM: p.DistM, GroundM: p.HeightM, AHeightM: p.HeightM[0] + 5, BHeightM: p.HeightM[n-1] +
			5, EffectiveRadiusM: 8.5e6}
		_, _, a, b := s.HorizonAngles()
		for _, at := range []float64{a, b} {
			if !slices.Contains(p.DistM, at) {
				t.Fatalf("%d points over %g m: a horizon at %.17g m, no point there", n, lengthM, at)
			}
			if at > 0 && at < lengthM {
				inside++
			}
		}
	}
	if inside < 2000 {
		t.Errorf("only %d horizons on the ground", inside)
	}
}

// Points one spacing from an end are left out of the clearance whatever rounding
// makes of their distance: on a tilted plane with even spacing the first and the
// last inner point are alike.
func TestClearanceSkipsBothEndsAlike(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 16))
	for range 2000 {
		lengthM, n := 500+30e3*rng.Float64(), 5+rng.IntN(300)
		p := profile(lengthM, n, func(float64) float64 { return 0 })
		p.HeightM[1], p.HeightM[n-2] = 90, 90 // a wall right beside each antenna
		s := diffraction.Sightline{DistM: p.DistM, GroundM: p.HeightM, AHeightM: 50, BHeightM: 50, EffectiveRadiusM: 8.5e6,
			WavelengthM: 0.345}
		worst, ok := s.Worst(lengthM / float64(n-1))
		if !ok || worst.Index == 1 || worst.Index == n-2 {
			t.Fatalf("%d points over %g m: the worst is %+v, one spacing from an end", n, lengthM, worst)
		}
	}
}
