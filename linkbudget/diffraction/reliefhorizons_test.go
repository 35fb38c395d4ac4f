package diffraction

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Behind an obstacle on bare ground the points that decide the edge are the
// horizons.
func TestReliefHorizons(t *testing.T) {
	blocked := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		p.ClutterM = nil
		s := sightlineOf(&p)
		d, steepest := gathered(&p).diffractionOf(&p)
		if d.LineOfSight || d.Nu == 0 {
			return // a point that just touches the ray is no horizon by more than rounding
		}
		blocked++
		check := func(s Sightline, of Slopes) {
			gotA, gotB := s.HorizonRises(of)
			aRad, bRad, _, _ := s.HorizonAngles()
			if !alike(math.Atan(gotA), aRad) || !alike(math.Atan(gotB), bRad) {
				t.Fatalf("a = %g m: horizons rise %g and %g, by the walk %g and %g rad", s.EffectiveRadiusM, gotA, gotB, aRad, bRad)
			}
		}
		check(s, steepest)
		// Less radius, more bulge: blocked there too.
		r := gathered(&p)
		r.diffractionOf(&p)
		s.EffectiveRadiusM = 3.9e6
		a, b, _ := r.horizonsOf(s.reliefView())
		check(s, Slopes{a.qM / a.xM, b.qM / b.yM})
	})
	if blocked == 0 {
		t.Error("no blocked path was drawn")
	}
}

// What stands on the ground does not change its horizons, and in sight each antenna's is the other.
func TestReliefBareHorizons(t *testing.T) {
	covered, sight := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		s := sightlineOf(&p)
		r := gathered(&p)
		for _, radiusM := range []float64{3.9e6, p.EffectiveRadiusM} {
			s.EffectiveRadiusM = radiusM
			of := r.Bare(radiusM)
			if p.ClutterM != nil {
				covered++
			}
			if of == (Slopes{}) {
				sight++
			}
			gotA, gotB := s.HorizonRises(of)
			aRad, bRad, _, _ := s.HorizonAngles()
			if !alike(math.Atan(gotA), aRad) || !alike(math.Atan(gotB), bRad) {
				t.Fatalf("a = %g m: horizons rise %g and %g, by the walk %g and %g rad", radiusM, gotA, gotB, aRad, bRad)
			}
		}
	})
	if covered == 0 || sight == 0 {
		t.Errorf("%d paths with something on them and %d in sight were drawn", covered, sight)
	}
}
