package linkbudget_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// ridges is a one-degree tile at 3" posts of ridge-and-valley ground, made by
// formula.
func ridges() *terrain.Grid {
	const n = 1201
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: -85, NorthDeg: 37, StepLonDeg: 3.0 / 3600, StepLatDeg: 3.0 / 3600, Cols: n,
			Rows: n},
		HeightM: make([]float32, n*n),
	}
	for r := range n {
		for c := range n {
			x, y := float64(c)/n, float64(r)/n
			g.HeightM[r*n+c] = float32(500 + 150*math.Sin(19*x+7*y)*math.Cos(13*y) + 30*math.Sin(90*x)*math.Sin(70*y) +
				4*math.Sin(900*x+200*y)*math.Sin(1100*y))
		}
	}
	return g
}

// benchPairs are pairs of poles 12.4 km apart on that ground, the better spots of
// some at random: about 166 points each, some in sight, some not.
func benchPairs(b *testing.B, grid *terrain.Grid) [][2]orb.Point {
	b.Helper()
	random := rand.New(rand.NewPCG(1, 2))
	high := func(lon, lat, spread float64) orb.Point {
		best, bestM := orb.Point{}, -1.0
		var h [1]float64
		var f [1]terrain.Flag
		for range 12 {
			p := orb.Point{lon + spread*random.Float64(), lat + spread*random.Float64()}
			if err := grid.Heights([]orb.Point{p}, h[:], f[:]); err != nil {
				b.Fatal(err)
			}
			if h[0] > bestM {
				best, bestM = p, h[0]
			}
		}
		return best
	}
	var pairs [][2]orb.Point
	for range 64 {
		from := high(-84.75+0.4*random.Float64(), 36.25+0.4*random.Float64(), 0.02)
		to := terrain.Destination(from, 360*random.Float64(), 12.4e3)
		pairs = append(pairs, [2]orb.Point{from, high(to[0]-0.01, to[1]-0.01, 0.02)})
	}
	return pairs
}

func pairStations() (a, b linkbudget.Station) {
	a, b = linkbudget.DefaultStation("a", 8), linkbudget.DefaultStation("b", 6)
	a.TxDBm, b.NoiseRiseDB = 20, 2
	return a, b
}

// BenchmarkPair is the examination of one pair of a plan: 12.4 km at 3" posts, a
// profile of about 166 points, both directions, both k and the doubt.
func BenchmarkPair(b *testing.B) {
	grid := ridges()
	pairs := benchPairs(b, grid)
	sa, sb := pairStations()
	env := environment()
	b.Run("both", func(b *testing.B) {
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			pair := pairs[i%len(pairs)]
			p, err := terrain.NewProfile(grid, pair[0], pair[1], terrain.ProfileOptions{})
			if err != nil {
				b.Fatal(err)
			}
			if r, err := linkbudget.Evaluate(p, sa, sb, env); err != nil || r.Verdict == linkbudget.Unknown {
				b.Fatal(err, r.Verdict)
			}
		}
	})
	b.Run("survey", func(b *testing.B) { // the same figures without lists, the stations prepared
		e, err := linkbudget.NewEvaluator(env)
		if err != nil {
			b.Fatal(err)
		}
		var pa, pb linkbudget.PreparedStation
		if err := errors.Join(e.Prepare(&pa, &sa), e.Prepare(&pb, &sb)); err != nil {
			b.Fatal(err)
		}
		var f linkbudget.Brief
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			pair := pairs[i%len(pairs)]
			if err := e.Survey(&f, grid, pair[0], pair[1], terrain.ProfileOptions{}, &pa, &pb); err != nil ||
				f.Verdict == linkbudget.Unknown {
				b.Fatal(err, f.Verdict)
			}
		}
	})
	b.Run("sampled", func(b *testing.B) { // the ground alone, in memory kept
		var p terrain.Profile
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			pair := pairs[i%len(pairs)]
			if err := p.Sample(grid, pair[0], pair[1], terrain.ProfileOptions{}); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("profile", func(b *testing.B) {
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			pair := pairs[i%len(pairs)]
			if _, err := terrain.NewProfile(grid, pair[0], pair[1], terrain.ProfileOptions{}); err != nil {
				b.Fatal(err)
			}
		}
	})
	var sight, blocked []terrain.Profile
	for _, pair := range pairs {
		p, err := terrain.NewProfile(grid, pair[0], pair[1], terrain.ProfileOptions{})
		if err != nil {
			b.Fatal(err)
		}
		r, err := linkbudget.Evaluate(p, sa, sb, env)
		if err != nil {
			b.Fatal(err)
		}
		if r.Diffraction.LineOfSight {
			sight = append(sight, p)
		} else {
			blocked = append(blocked, p)
		}
	}
	for _, kind := range []struct {
		name     string
		profiles []terrain.Profile
	}{{"sight", sight}, {"blocked", blocked}} {
		b.Run(kind.name, func(b *testing.B) {
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				if _, err := linkbudget.Evaluate(kind.profiles[i%len(kind.profiles)], sa, sb, env); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(kind.profiles)), "profiles")
			b.ReportMetric(float64(len(kind.profiles[0].DistM)), "points")
		})
	}
}
