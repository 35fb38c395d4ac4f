package linkbudget

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The slopes of every view are the largest that its points have one by one, by
// division, and paths are blocked where the ground comes up to the ray.
func TestReliefSlopes(t *testing.T) {
	blocked, not := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		p.ClutterM = nil
		if len(p.DistM) < 3 {
			return // no inner points
		}
		r := gathered(&p)
		upM, curve, otherCurve := rapid.Float64Range(0, 30).Draw(t, "up"), r.curve, r.curve*rapid.Float64Range(1, 3).Draw(t, "more curve")
		r.findSlopes(upM, curve, otherCurve)
		for _, v := range []reliefView{
			{curve: curve, upM: upM}, {curve: curve, upM: -upM}, {curve: otherCurve}, {upM: upM, bare: true}, {upM: -upM, bare: true},
		} {
			got, ok := r.slopes.find(v)
			if !ok {
				t.Fatalf("%+v: not known", v)
			}
			want, highest, scale := slopes{math.Inf(-1), math.Inf(-1)}, math.Inf(-1), 0.0
			for i := 1; i < len(r.distM)-1; i++ {
				q := r.point(i, v)
				want.a, want.b = max(want.a, q.qM/q.xM), max(want.b, q.qM/q.yM)
				highest, scale = max(highest, q.qM), max(scale, math.Abs(q.qM))
			}
			if !alike(got.a, want.a) || !alike(got.b, want.b) {
				t.Fatalf("%+v: slopes %v, point by point %v", v, got, want)
			}
			if math.Abs(highest) < 1e-9*(1+scale) {
				continue // touches the ray: rounding may say either
			}
			_, is := r.steepest(v)
			if is != (highest >= 0) {
				t.Fatalf("%+v: blocked %v, the highest ground is %g m over the ray", v, is, highest)
			}
			if is {
				blocked++
			} else {
				not++
			}
		}
		if _, ok := r.slopes.find(reliefView{curve: curve, upM: upM + 1}); ok {
			t.Fatal("a view nobody looked for is known")
		}
		r.gather(&p, false)
		if _, ok := r.slopes.find(reliefView{curve: curve, upM: upM}); ok {
			t.Fatal("slopes of the path before are known")
		}
	})
	if blocked == 0 || not == 0 {
		t.Errorf("%d views blocked and %d in sight: both must be drawn", blocked, not)
	}
}

// Where clutter stands, bare ground has slopes of its own: none are known then.
func TestReliefSlopesOfClutter(t *testing.T) {
	p := DiffractionPath{DistM: []float64{0, 1, 2}, GroundM: make([]float64, 3), ClutterM: make([]float64, 3), EffectiveRadiusM: 8.5e6}
	r := gathered(&p)
	r.findSlopes(1, r.curve, r.curve)
	if _, ok := r.slopes.find(reliefView{curve: r.curve, upM: 1}); ok {
		t.Error("slopes are known")
	}
}
