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
		d, a, b := r.diffractionOf(&p)
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
			var a, b reliefPoint
			blocked := r.rivals.horizons(&a, &b, v)
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

// The same of a path in sight, for its horizons and for what comes near the ray.
func TestReliefNearRivals(t *testing.T) {
	few, near := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		p.ClutterM = nil
		p.AHeightM += rapid.Float64Range(0, 300).Draw(t, "more A")
		p.BHeightM += rapid.Float64Range(0, 300).Draw(t, "more B")
		r := gathered(&p)
		if d, _, _ := r.diffractionOf(&p); !d.LineOfSight {
			return
		}
		upM, curve := rapid.Float64Range(0, 30).Draw(t, "up"), r.curve*rapid.Float64Range(1, 3).Draw(t, "more curve")
		r.findNearRivals(upM, curve, p.wavelengthM())
		if !r.rivals.answerClose(reliefView{}) {
			return
		}
		few++
		plain := gathered(&p) // answers by blocks
		for range 5 {
			v := reliefView{upM: upM - rapid.Float64Range(0, 50).Draw(t, "less"), curve: curve * rapid.Float64Range(0, 1).Draw(t, "curve")}
			limit := r.nearClearance(p.wavelengthM())
			from := rapid.IntRange(1, len(p.DistM)-1).Draw(t, "from")
			got, ok := r.near(v, from, len(p.DistM)-1, limit)
			want, wantOK := plain.closest(v, from, len(p.DistM)-1, limit)
			if c, w := got.closeness(), want.closeness(); ok != wantOK || ok && !alike(c.square*w.m2, w.square*c.m2) {
				t.Fatalf("%+v: %+v, %v; by blocks %+v, %v", v, got, ok, want, wantOK)
			}
			if ok {
				near++
			}
			a, b, blocked := r.horizonsOf(v)
			wantA, wantB, wantBlocked := plain.horizonsOf(v)
			if blocked != wantBlocked || blocked && (!alike(a.qM*wantA.xM, wantA.qM*a.xM) || !alike(b.qM*wantB.yM, wantB.qM*b.yM)) {
				t.Fatalf("%+v: horizons %+v and %+v, %v; by blocks %+v and %+v, %v", v, a, b, blocked, wantA, wantB, wantBlocked)
			}
		}
	})
	if few == 0 || near == 0 {
		t.Errorf("%d paths with few rivals, %d of them near", few, near)
	}
}
