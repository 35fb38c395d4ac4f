package diffraction

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/internal/official"
)

// Published: ITU-R P.1812-6 validation results, th_t and th_r (eq 76-81), every
// file. They are printed to ten digits, in mrad.
func TestHorizonAnglesOfficial(t *testing.T) {
	for _, c := range official.P1812(t) {
		aRad, bRad, _, _ := sightline(c).HorizonAngles()
		check.Near(t, c.Name+" th_t", aRad*1e3, c.Value["th_t (mrad)"], 1e-7)
		check.Near(t, c.Name+" th_r", bRad*1e3, c.Value["th_r (mrad)"], 1e-7)
	}
}

func TestHorizonPlace(t *testing.T) {
	// By hand, flat earth: from A at 10 m the hill of 60 m at 5 km stands
	// 50/5000 up, the one of 30 m at 1 km 20/1000; from B it is the hill at 5 km.
	s := Sightline{
		DistM: []float64{0, 1000, 5000, 10000}, GroundM: []float64{0, 30, 60, 0},
		AHeightM: 10, BHeightM: 10, EffectiveRadiusM: math.Inf(1), WavelengthM: 0.345,
	}
	aRad, bRad, aAtM, bAtM := s.HorizonAngles()
	check.Near(t, "A elevation", aRad, math.Atan(0.02), 1e-12)
	check.Near(t, "B elevation", bRad, math.Atan(0.01), 1e-12)
	check.Near(t, "A place", aAtM, 1000, 0)
	check.Near(t, "B place", bAtM, 5000, 0)

	// With line of sight the other antenna is the horizon.
	s.AHeightM, s.BHeightM = 200, 100
	aRad, bRad, aAtM, bAtM = s.HorizonAngles()
	check.Near(t, "A looks down", aRad, math.Atan(-0.01), 1e-12)
	check.Near(t, "B looks up", bRad, math.Atan(0.01), 1e-12)
	check.Near(t, "A sees B", aAtM, 10000, 0)
	check.Near(t, "B sees A", bAtM, 0, 0)

	for _, s := range []Sightline{{}, {DistM: []float64{0}, GroundM: []float64{5}}} {
		if a, b, _, _ := s.HorizonAngles(); a != 0 || b != 0 {
			t.Errorf("path without length: horizons %g and %g, want 0", a, b)
		}
	}
}

// The search without divisions must find the largest of all angles, and the
// path reversed must swap the two ends.
func TestHorizonAgainstEveryPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSightline(t)
		last := len(s.DistM) - 1
		d := s.DistM[last]
		angle := func(h, from, run float64) float64 { // P.1812-6 eq (77), m
			return math.Atan((h-from)/run - run/(2*s.EffectiveRadiusM))
		}
		wantA, wantB := angle(s.BHeightM, s.AHeightM, d), angle(s.AHeightM, s.BHeightM, d)
		for i := 1; i < last; i++ {
			wantA = math.Max(wantA, angle(s.GroundM[i], s.AHeightM, s.DistM[i]))
			wantB = math.Max(wantB, angle(s.GroundM[i], s.BHeightM, d-s.DistM[i]))
		}
		aRad, bRad, _, _ := s.HorizonAngles()
		if !(math.Abs(aRad-wantA) <= 1e-12 && math.Abs(bRad-wantB) <= 1e-12) {
			t.Fatalf("horizons %g, %g; want %g, %g", aRad, bRad, wantA, wantB)
		}
		ra, rb, _, _ := s.reversed().HorizonAngles()
		if !(math.Abs(ra-bRad) <= 1e-9 && math.Abs(rb-aRad) <= 1e-9) {
			t.Fatalf("horizons %g, %g; reversed %g, %g", aRad, bRad, ra, rb)
		}
	})
}

func BenchmarkHorizonAngles(b *testing.B) {
	s := longPath()
	for b.Loop() {
		s.HorizonAngles()
	}
}
