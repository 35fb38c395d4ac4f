package coverage_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// In the bad half of the time the cells are as near to single paths as in the median: wanted of
// the loss a median below 0.1 dB and 95 % below 1 dB. At 50 % nothing differs from the median.
func TestSweepInTimeAgreesWithSinglePaths(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	for _, s := range scenes {
		for _, percent := range []float64{50, 90, 99, 99.9} {
			env := env
			if percent == 90 {
				env.TownPercent = 50 // its loss goes with the distance
			}
			dem, opt := s.dem(t), coverage.Options{RadiusM: s.radiusM, Receiver: s.receiver, Environment: env}
			median, err := coverage.Sweep(context.Background(), s.pole, s.at, dem, opt)
			if err != nil {
				t.Fatal(err)
			}
			env.TimePercent, opt.Environment.TimePercent = percent, percent
			r, err := coverage.Sweep(context.Background(), s.pole, s.at, dem, opt)
			if err != nil {
				t.Fatal(err)
			}
			if percent == 50 {
				if !slices.Equal(r.Cells, median.Cells) {
					t.Errorf("%s: 50 %% is not the median", s.name)
				}
				continue
			}
			rng := rand.New(rand.NewPCG(3, 5))
			var off, margin, chance, more []float64
			for len(off) < 1500 {
				i := rng.IntN(len(r.Cells))
				c := r.Cells[i]
				if c.State() != coverage.Judged {
					continue
				}
				p, err := terrain.NewProfile(dem, s.at, r.Post(i%r.Cols, i/r.Cols), terrain.ProfileOptions{SpacingM: s.fineM})
				if err != nil {
					t.Fatal(err)
				}
				e, err := linkbudget.Evaluate(p, s.pole, s.receiver, env)
				if err != nil {
					t.Fatal(err)
				}
				if e.Verdict == linkbudget.Unknown {
					continue
				}
				off = append(off, math.Abs(float64(c.LossDB()-e.LossDB)))
				margin = append(margin, math.Abs(float64(c.MarginDB()-e.MarginDB)))
				chance = append(chance, math.Abs(c.Probability()-e.Probability))
				more = append(more, float64(c.LossDB()-median.Cells[i].LossDB()))
			}
			for _, list := range [][]float64{off, margin, chance, more} {
				slices.Sort(list)
			}
			at := func(list []float64, q float64) float64 { return list[int(q*float64(len(list)-1))] }
			t.Logf("%s, %g %%: %.1f to %.1f dB over the median; loss off by %.3f dB (median), %.3f (95 %%), margin %.3f "+
				"and %.3f, chance %.4f (95 %%)", s.name, percent, more[0], more[len(more)-1], at(off, 0.5), at(off, 0.95),
				at(margin, 0.5),
				at(margin, 0.95), at(chance, 0.95))
			if !(at(off, 0.5) < 0.1 && at(off, 0.95) < 1 && at(margin, 0.5) < 0.1 && at(margin, 0.95) < 1 &&
				at(chance, 0.95) < 0.05) {
				t.Error("too far off")
			}
			if !(more[0] > 0) {
				t.Errorf("no more lost than in the median: %g dB", more[0])
			}
		}
	}
}
