package diffraction

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/radio"
)

// Over or through: of all sets of stands passed through, found by the plain walk over all points, none
// loses less than that of Ways, which loses as much as the walk says; and stands that tell nothing change nothing.
func TestWaysLoseLeast(t *testing.T) {
	var through, over, inSight int
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		n := len(p.DistM)
		houses, trees := make([]float64, n), make([]float64, n)
		for i, left := 1, 0; i < n-1; i++ {
			if left == 0 && rapid.IntRange(0, 3).Draw(t, "begins") == 0 {
				left = rapid.IntRange(1, 5).Draw(t, "points")
			}
			if left > 1 {
				trees[i] = rapid.Float64Range(0.5, 40).Draw(t, "treeM")
			} else if rapid.IntRange(0, 9).Draw(t, "house") == 0 {
				houses[i] = 8
			}
			left = max(left-1, 0)
		}
		var d Loss
		p.ClutterM = nil
		r := gathered(&p)
		slopes := r.DeltaBullington(&d, &p)
		bare := d.Crest(slopes)
		all := []Span{{1, n - 1}}
		crest := r.Raised(bare, houses, all, p.wavelengthM())
		stands := r.Stands(nil, trees, all, crest, p.wavelengthM())
		// What is not reached is not looked at.
		spans := r.Reached(nil, bare, 40, p.wavelengthM())
		if c := r.Raised(bare, houses, spans, p.wavelengthM()); c != crest {
			t.Errorf("crest %+v of %v, of all %+v", c, spans, crest)
		}
		var told []Stand
		told = r.Stands(told, trees, joined(spans, trees), crest, p.wavelengthM())
		for i, s := range told {
			if len(told) != len(stands) || s.DepthM != stands[i].DepthM || s.crest != stands[i].crest {
				t.Errorf("%+v of %v, of all %+v", told, spans, stands)
				break
			}
		}
		if len(stands) > 7 { // the least of so many sets is looked for
			t.Skip("many stands")
		}
		for i := range stands {
			stands[i].ThroughDB = radio.DB(rapid.Float64Range(0.01, 25).Draw(t, "dB"))
		}
		floor := d.LossDB + radio.DB(rapid.Float64Range(-5, 15).Draw(t, "floor"))
		cost, left := p.Ways(&d, stands, crest, floor)
		walked := func(passed func(i int) bool) (total float64, alone Loss) {
			p := p
			p.ClutterM = append([]float64(nil), trees...)
			sum := 0.0
			for i, s := range stands {
				if passed(i) {
					clear(p.ClutterM[s.From:s.To])
					sum += float64(s.ThroughDB)
				}
			}
			for i := range houses {
				p.ClutterM[i] += houses[i]
			}
			alone = walkedDeltaBullington(p)
			return float64(max(alone.LossDB, floor)) + sum, alone
		}
		got, alone := walked(func(i int) bool { return stands[i].Through })
		if total := float64(max(d.LossDB, floor) + cost); !alike(total, got) ||
			!alike(max(d.Nu, knifeEdgeZeroNu), max(alone.Nu, knifeEdgeZeroNu)) ||
			d.LineOfSight != alone.LineOfSight || left.Blocked == d.LineOfSight {
			t.Errorf("%v and %v dB, ν %v, crest %v; by the walk %v, ν %v", d.LossDB, cost, d.Nu, left, got, alone.Nu)
		}
		for set := range 1 << len(stands) {
			if other, _ := walked(func(i int) bool { return set&(1<<i) != 0 }); other < got-1e-7*(1+got) {
				t.Errorf("%b through: %v dB; found %v; %+v rest %+v", set, other, got, stands, crest)
			}
		}
		switch {
		case cost > 0:
			through++
		case len(stands) > 0:
			over++
		}
		if !crest.Blocked && len(stands) > 0 {
			inSight++
		}
	})
	t.Logf("through %d, over %d, in sight %d", through, over, inSight)
	if !testing.Short() && (through == 0 || over == 0 || inSight == 0) {
		t.Error("one of the kinds was not drawn")
	}
}

// joined joins spans between which the trees of both go on.
func joined(spans []Span, trees []float64) (out []Span) {
	for _, s := range spans {
		if n := len(out); n > 0 && trees[out[n-1].To-1] > 0 && trees[s.From] > 0 {
			out[n-1].To = s.To
		} else {
			out = append(out, s)
		}
	}
	return out
}

// After Stand and Again all is as if gathered with what stands there.
func TestStandAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		clutter := make([]float64, len(p.DistM))
		for i := 1; i < len(clutter)-1; i++ {
			clutter[i] = math.Max(0, rapid.Float64Range(-20, 30).Draw(t, "clutterM"))
		}
		p.ClutterM = nil
		r := gathered(&p)
		var d Loss
		r.DeltaBullington(&d, &p)
		r.Stand(clutter)
		s := r.Again(&d, &p)
		p.ClutterM = clutter
		want := Loss{}
		fresh := gathered(&p)
		slopes := fresh.DeltaBullington(&want, &p)
		if !alike(float64(d.LossDB), float64(want.LossDB)) || d.Nu != want.Nu || d.EdgeAtM != want.EdgeAtM ||
			d.LineOfSight != want.LineOfSight || s != slopes {
			t.Errorf("%+v %v, gathered anew %+v %v", d, s, want, slopes)
		}
		if got, want := r.TerrainDoubt(p.wavelengthM()), fresh.TerrainDoubt(p.wavelengthM()); got != want {
			t.Errorf("doubt %v, gathered anew %v", got, want)
		}
	})
}
