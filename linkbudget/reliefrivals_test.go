package linkbudget

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Among the rivals are the horizons under every shift and in every air that they
// were found for, and all the ground says so.
func TestReliefRivals(t *testing.T) {
	few := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		p.ClutterM = nil
		r := gathered(&p)
		d, a, b := r.diffraction(&p)
		if d.LineOfSight {
			return
		}
		upM, curve := rapid.Float64Range(0, 30).Draw(t, "up"), r.curve*rapid.Float64Range(1, 3).Draw(t, "more curve")
		r.findRivals(a, b, upM, curve)
		if !r.rivals.answer(reliefView{}) {
			return // too many, or no bulge at all
		}
		few++
		for range 5 {
			v := reliefView{
				upM:   upM * rapid.Float64Range(-1, 1).Draw(t, "shift"),
				curve: curve * rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 1)).Draw(t, "curve"),
				bare:  rapid.Bool().Draw(t, "bare"),
			}
			a, b, blocked := r.rivals.horizons(v)
			mostA, mostB, highest := math.Inf(-1), math.Inf(-1), math.Inf(-1)
			for i := 1; i < len(r.distM)-1; i++ {
				q := r.point(i, v)
				mostA, mostB, highest = max(mostA, q.qM/q.xM), max(mostB, q.qM/q.yM), max(highest, q.qM)
			}
			if math.Abs(highest) < 1e-9*(1+math.Abs(p.GroundM[0])) {
				continue // touches the ray: rounding may say either
			}
			if blocked != (highest >= 0) {
				t.Fatalf("%+v: blocked %v, the highest ground is %g m over the ray", v, blocked, highest)
			}
			if blocked && (!alike(a.qM/a.xM, mostA) || !alike(b.qM/b.yM, mostB)) {
				t.Fatalf("%+v: slopes %g and %g, of all ground %g and %g", v, a.qM/a.xM, b.qM/b.yM, mostA, mostB)
			}
		}
	})
	if few == 0 {
		t.Error("no path with few rivals was drawn")
	}
}
