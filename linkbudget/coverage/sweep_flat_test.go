package coverage_test

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// Over a smooth sphere every path of one length is the same: no direction is
// favoured, on either hemisphere.
func TestFlatGroundIsRound(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	for _, lat := range []float64{0.04, 48, -62} {
		g := gridAt(10, lat+61.0/1200, 121)
		for i := range g.HeightM {
			g.HeightM[i] = 100
		}
		at := g.Post(60, 60)
		r := sweep(t, g, at, coverage.Options{RadiusM: 5e3})
		for i, c := range r.Cells {
			if c.State() != coverage.Judged {
				continue
			}
			d := terrain.Inverse(at, r.Post(i%r.Cols, i/r.Cols)).DistM
			p := terrain.Profile{}
			n := int(d/5) + 2
			for k := range n + 1 {
				p.DistM, p.HeightM = append(p.DistM, d*float64(k)/float64(n)), append(p.HeightM, 100)
			}
			e, err := linkbudget.Evaluate(p, pole, receiver, env)
			if err != nil {
				t.Fatal(err)
			}
			// The real ground is looked at where there are posts, the smooth earth
			// everywhere: where no post stands at the largest ν, up to 0.2 dB are missing.
			if !(math.Abs(float64(c.LossDB())-float64(e.LossDB)) < 0.25) {
				t.Fatalf("latitude %g, %.0f m: %.3f dB, single path %.3f dB", lat, d, c.LossDB(), float64(e.LossDB))
			}
		}
	}
}

// Where posts are a step apart a cell can lie nearer than a metre. Over flat ground,
// seen from above, it loses what free space does.
func TestCellsWithinAMetreAreInSight(t *testing.T) {
	const n = 41
	g := &terrain.Grid{Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 48, StepLonDeg: 1e-5, StepLatDeg: 1e-5, Cols: n,
		Rows: n}, HeightM: make([]float32, n*n)}
	at := orb.Point{10 + 20.5e-5, 48 - 20.5e-5}
	free, low := pole, receiver
	free.Surroundings.Inside, low.Surroundings.Inside = clutter.Free, clutter.Free
	r, err := coverage.Sweep(context.Background(), free, at, g,
		coverage.Options{RadiusM: 12, Receiver: low, Environment: env})
	if err != nil {
		t.Fatal(err)
	}
	near := 0
	for i, c := range r.Cells {
		if c.State() != coverage.Judged {
			continue
		}
		d := terrain.Inverse(at, r.Post(i%r.Cols, i/r.Cols)).DistM
		if d < 1 {
			near++
		}
		if want := radio.FreeSpace(math.Hypot(d, 8), env.FreqHz); !(math.Abs(float64(c.LossDB()-want)) < 0.1) {
			t.Errorf("%.2f m away: %v, free space loses %.2f dB", d, c, want)
		}
	}
	if near == 0 {
		t.Error("no cell is nearer than a metre")
	}
}
