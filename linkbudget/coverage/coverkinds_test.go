package coverage_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// told are patches that tell heights, or not, and leave some ground unknown, or none.
type told struct {
	patches
	heights func(v float64) float32
	unknown bool
}

func (c told) Standing(at []orb.Point, out []terrain.Standing) error {
	if err := c.patches.Standing(at, out); err != nil {
		return err
	}
	for i, p := range at {
		v := noise((p[0]+85)*3600/40, (37-p[1])*3600/40, 99)
		if out[i].Class.Stands() {
			out[i].HeightM = c.heights(v)
		}
		if c.unknown && v > 0.6 {
			out[i] = terrain.Standing{}
		}
	}
	return nil
}

// Whatever is told of the ends and of the ground, a town assumed where nothing is, on bare earth and not, in time and
// not: coverage says what single paths say, and is not off to one side where the receiver stands among anything.
func TestCoverOfAllKindsAgainstSinglePaths(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths, in one goroutine")
	}
	g := mountains(600)
	rng := rand.New(rand.NewPCG(4, 5))
	inside := []clutter.Class{0, 0, 0, clutter.Free, clutter.Open, clutter.Suburban, clutter.Wood, clutter.Urban}
	only := []terrain.CoverClass{0, 0, terrain.CoverWood, terrain.CoverSuburban, terrain.CoverOpen}
	heights := []func(float64) float32{
		func(float64) float32 { return 0 }, func(float64) float32 { return 6 },
		func(v float64) float32 { return float32(3 + math.Round(v*20)) },
	}
	all := map[terrain.CoverClass][]float64{}
	for range 40 {
		at := g.Post(150+rng.IntN(300), 150+rng.IntN(300))
		dem := terrain.WithCover(g, told{patches{only: only[rng.IntN(len(only))]}, heights[rng.IntN(3)], rng.IntN(3) == 0})
		pole := linkbudget.DefaultStation("pole", 2+20*rng.Float64())
		rx := linkbudget.DefaultStation("receiver", 1.5+10*rng.Float64()*float64(rng.IntN(2)))
		pole.Surroundings.Inside, rx.Surroundings.Inside = inside[rng.IntN(len(inside))], inside[rng.IntN(len(inside))]
		env := linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 10, BWHz: 125e3, CR: 1},
			BareEarth: rng.IntN(2) == 0, TownPercent: 50 * float64(rng.IntN(2)), TimePercent: 99 * float64(rng.IntN(2))}
		what := fmt.Sprintf("pole %v at %.0f m, receiver %v at %.0f m, bare %v, town %g %%, time %g %%",
			pole.Surroundings.Inside, pole.HeightM, rx.Surroundings.Inside, rx.HeightM, env.BareEarth, env.TownPercent,
			env.TimePercent)
		r, err := coverage.Sweep(context.Background(), pole, at, dem, coverage.Options{RadiusM: 7000, Receiver: rx,
			Environment: env})
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		var off []float64
		wooded := false
		for len(off) < 200 {
			i := rng.IntN(len(r.Cells))
			c, place := r.Cells[i], r.Post(i%r.Cols, i/r.Cols)
			if c.State() != coverage.Judged || terrain.Inverse(at, place).DistM < 500 {
				continue
			}
			p, err := terrain.NewProfile(dem, at, place, terrain.ProfileOptions{})
			if err != nil {
				t.Fatal(err)
			}
			single, err := linkbudget.Evaluate(p, pole, rx, env)
			if err != nil {
				t.Fatalf("%s: %v", what, err)
			}
			d := float64(c.LossDB() - single.LossDB)
			off = append(off, math.Abs(d))
			wooded = p.Standing[0].Class == terrain.CoverWood
			if class := p.Standing[len(p.Standing)-1].Class; !wooded || !pole.Surroundings.Stated() {
				all[class] = append(all[class], d)
			}
		}
		slices.Sort(off)
		bars := [2]float64{0.35, 1.6}
		if pole.Surroundings.Stated() && wooded { // trees stand around it on every path, and are passed through in parts
			bars = [2]float64{1.3, 4.8}
		}
		if n := len(off); off[n/2] > bars[0] || off[n*8/10] > bars[1] {
			t.Errorf("%s: median %.2f dB off, 80 %% within %.2f dB", what, off[n/2], off[n*8/10])
		}
	}
	for class, d := range all {
		slices.Sort(d)
		n := len(d)
		t.Logf("receivers in %v: %d, median %+.3f dB, 10 to 90 %% from %+.2f to %+.2f dB", class, n, d[n/2], d[n/10],
			d[n*9/10])
		if math.Abs(d[n/2]) > 0.02 || d[n/10] < -0.6 || d[n*9/10] > 1.5 {
			t.Errorf("receivers in %v are off", class)
		}
	}
}
