package linkbudget_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/landcover"
)

// bothWays is a path and the same from its other end.
func bothWays(t *testing.T, dem terrain.DEM, atA, atB orb.Point, a, b linkbudget.Station,
	env linkbudget.Environment) (there, back linkbudget.Result) {
	t.Helper()
	evaluate := func(at, to orb.Point, a, b linkbudget.Station) linkbudget.Result {
		p, err := terrain.NewProfile(dem, at, to, terrain.ProfileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		r, err := linkbudget.Evaluate(p, a, b, env)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	return evaluate(atA, atB, a, b), evaluate(atB, atA, b, a)
}

// What stands at random on rolling ground costs as much from either end (reciprocity), at every share of time.
func TestCoverCostsTheSameBothWays(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	rng := rand.New(rand.NewPCG(1, 2))
	for n := range 7000 {
		dem := terrain.WithCover(rolling(rng), anything(t, rng))
		at, to := orb.Point{10, 0}, terrain.Destination(orb.Point{10, 0}, 90, 300+rng.Float64()*5000)
		env := environment()
		env.BareEarth = rng.IntN(2) == 0
		env.TimePercent = []float64{0, 0, 0, 0, 1, 10, 99, 99.9}[rng.IntN(8)]
		a, b := linkbudget.DefaultStation("a", 2+rng.Float64()*20), linkbudget.DefaultStation("b", 2+rng.Float64()*20)
		there, back := bothWays(t, dem, at, to, a, b, env)
		if !(math.Abs(float64(there.LossDB-back.LossDB)) < 0.05) {
			t.Errorf("path %d: %v dB there, %v dB back:\n%v\n%v", n, there.LossDB, back.LossDB, there.Terms, back.Terms)
		}
	}
}

// rolling is the level with waves on it.
func rolling(rng *rand.Rand) *terrain.Grid {
	g := level()
	highM, phase, waves := rng.Float64()*80, rng.Float64()*2*math.Pi, 1+rng.Float64()*10
	for i := range g.HeightM {
		g.HeightM[i] += float32(highM * math.Sin(phase+waves*float64(i%g.Cols)/100))
	}
	return g
}

// anything is up to five drawings across the path, over a wood or nothing.
func anything(t *testing.T, rng *rand.Rand) terrain.Cover {
	t.Helper()
	var outlines []landcover.Outline
	for range rng.IntN(6) {
		west, wide := 9.99+rng.Float64()*0.06, math.Pow(10, -4+rng.Float64()*3)
		stands := terrain.Standing{Class: terrain.CoverClass(1 + rng.IntN(int(terrain.CoverDenseUrban)))}
		if stands.Class > terrain.CoverOpen && rng.IntN(2) == 0 {
			stands.HeightM = float32(rng.Float64() * 40)
		}
		outlines = append(outlines, landcover.Outline{Stands: stands,
			Rings: orb.Polygon{{{west, -0.004}, {west + wide, -0.004},
				{west + wide, 0.004}, {west, 0.004}, {west, -0.004}}}})
	}
	under := terrain.Cover(nil)
	if rng.IntN(2) == 0 {
		under = stripe{-5000, 1500 + rng.Float64()*3000, float32(rng.Float64() * 25)}
	}
	cover, err := landcover.Drawn(outlines, under)
	if err != nil {
		t.Fatal(err)
	}
	return cover
}
