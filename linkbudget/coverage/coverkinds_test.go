package coverage_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
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

func upTo23M(v float64) float32 { return float32(3 + math.Round(v*20)) }

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
		func(float64) float32 { return 0 }, func(float64) float32 { return 6 }, upTo23M,
	}
	all, odd := map[terrain.CoverClass][]float64{}, []float64(nil)
	// The plan says that an end stands free, say, and the cover has a wood there: trees then stand on all of its paths,
	// and single ones pass through parts of them.
	against := func(s linkbudget.Station, at terrain.Standing) bool {
		return s.Surroundings.Stated() && s.Surroundings.Inside != clutter.Wood && at.Class == terrain.CoverWood
	}
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
		for range 200 {
			cell, single, p := drawnCell(t, rng, r, dem, pole, rx, env, 500)
			d := float64(cell.LossDB() - single.LossDB)
			last := len(p.Standing) - 1
			if against(pole, p.Standing[0]) || against(rx, p.Standing[last]) {
				odd = append(odd, d)
				continue
			}
			off = append(off, math.Abs(d))
			all[p.Standing[last].Class] = append(all[p.Standing[last].Class], d)
		}
		slices.Sort(off)
		if n := len(off); n > 0 && (off[n/2] > 0.8 || off[n*8/10] > 2) {
			t.Errorf("%s: median %.2f dB off, 80 %% within %.2f dB", what, off[n/2], off[n*8/10])
		}
	}
	slices.Sort(odd)
	n := len(odd)
	t.Logf("ends in a wood against what is told of them: %d, median %+.2f dB, 10 to 90 %% from %+.2f to %+.2f dB", n,
		odd[n/2], odd[n/10], odd[n*9/10])
	if math.Abs(odd[n/2]) > 0.3 || odd[n/10] < -1 || odd[n*9/10] > 4 {
		t.Error("they are off")
	}
	for class, d := range all {
		slices.Sort(d)
		n := len(d)
		t.Logf("receivers in %v: %d, median %+.3f dB, 10 to 90 %% from %+.2f to %+.2f dB", class, n, d[n/2], d[n/10],
			d[n*9/10])
		if math.Abs(d[n/2]) > 0.02 || d[n/10] < -0.7 || d[n*9/10] > 1.7 {
			t.Errorf("receivers in %v are off", class)
		}
	}
}

func TestResultDoesNotDependOnWorkers(t *testing.T) {
	bare, at := cumberland(t), orb.Point{-84.2405, 36.5565}
	covered := terrain.WithCover(bare, told{patches{}, upTo23M, true})
	for i, dem := range []terrain.DEM{bare, covered, covered} {
		percent := 99 * float64(i%2) // in time they share a table
		by := func(workers int) []coverage.Cell {
			env := env
			env.TimePercent, env.BareEarth = percent, i == 2
			r, err := coverage.Sweep(context.Background(), pole, at, dem,
				coverage.Options{RadiusM: 9e3, Workers: workers, Receiver: receiver, Environment: env})
			if err != nil {
				t.Fatal(err)
			}
			return r.Cells
		}
		one := by(1)
		for _, n := range []int{2, 3, 8} {
			if diff := cmp.Diff(one, by(n), cmp.AllowUnexported(coverage.Cell{})); diff != "" {
				t.Errorf("%g %% of time, %d workers: %s", percent, n, diff)
			}
		}
	}
}
