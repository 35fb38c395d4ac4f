package linkbudget

import (
	"testing"

	"pgregory.net/rapid"
)

// Among the rivals of a path in sight is what comes near the ray, and are the horizons,
// for every shift and in every air that they were found for; blocks say so, too.
func TestReliefRivals(t *testing.T) {
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
		r.findRivals(upM, curve, p.wavelengthM())
		if !r.rivals.answer(reliefView{}) {
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
