package diffraction

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// told is what stands on a path, told where it is asked for.
type told struct {
	all, clutterM []float64
	points        int
}

func (s *told) Tell(from, to int) {
	copy(s.clutterM[from:to], s.all[from:to])
	s.points += to - from
}

// Whatever is asked after StandLater, in whatever order, is answered as after Stand, to the last bit, and not
// all has to be told for it. What is not told reads 1 km high here.
func TestStandLaterIsStand(t *testing.T) {
	points, asked := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		n := len(p.DistM)
		all, later := make([]float64, n), make([]float64, n)
		for i := 1; i < n-1; i++ {
			all[i] = rapid.SampledFrom([]float64{0, 0, 10, 15, 15, 3.5}).Draw(t, "standsM")
			later[i] = 1000
		}
		p.ClutterM = nil
		var losses [2]Loss
		var reliefs [2]*Relief
		teller := &told{all: all, clutterM: later}
		for k := range reliefs {
			r := gathered(&p)
			slopes := r.DeltaBullington(&losses[k], &p)
			crest := losses[k].Crest(slopes)
			if k == 0 {
				r.Stand(all)
			} else {
				if rapid.Bool().Draw(t, "raised") {
					crest = r.Raised(crest, all, []Span{{1, n - 1}}, p.wavelengthM())
				}
				r.StandLater(later, 15, crest, teller)
			}
			reliefs[k] = r
		}
		p.ClutterM = all
		sight, other := sightlineOf(&p), sightlineOf(&p)
		other.EffectiveRadiusM *= rapid.SampledFrom([]float64{0.5, 0.8, 1.5}).Draw(t, "air")
		skipM := rapid.SampledFrom([]float64{0, 30, 300}).Draw(t, "skipM")
		questions := []func(r *Relief, d *Loss) any{
			func(r *Relief, d *Loss) any { return []any{r.Again(d, &p), *d} },
			func(r *Relief, _ *Loss) any {
				var c Clearance
				return []any{r.Worst(&c, &sight, skipM), c, r.Class(&other, skipM)}
			},
			func(r *Relief, _ *Loss) any {
				loss, slopes, blocked := r.LossOver(&p, other.EffectiveRadiusM)
				return []any{loss, slopes, blocked}
			},
			func(r *Relief, _ *Loss) any { return r.TerrainDoubt(sight.WavelengthM) },
			func(r *Relief, _ *Loss) any { return r.Bare(other.EffectiveRadiusM) },
			func(r *Relief, _ *Loss) any { return r.Obstacles(&sight, skipM) },
		}
		for i, q := range rapid.Permutation([]int{0, 1, 2, 3, 4, 5}).Draw(t, "order") {
			want, got := questions[q](reliefs[0], &losses[0]), questions[q](reliefs[1], &losses[1])
			if diff := cmp.Diff(want, got); diff != "" {
				t.Fatalf("question %d, asked as number %d: %s", q, i, diff)
			}
		}
		points, asked = points+n, asked+teller.points
		reliefs[1].Settle()
		if !slices.Equal(all, later) {
			t.Fatalf("settled %v, stands %v", later, all)
		}
	})
	if asked == 0 || asked > points*95/100 { // of short paths nearly all
		t.Errorf("%d of %d points told", asked, points)
	}
}
