package linkbudget_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// hills is a one-degree tile at 1" posts with rolling ground, made by formula.
func hills() *terrain.Grid {
	const n = 3601
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: -85, NorthDeg: 37, StepLonDeg: 1.0 / 3600, StepLatDeg: 1.0 / 3600, Cols: n,
			Rows: n},
		HeightM: make([]float32, n*n),
	}
	for r := range n {
		for c := range n {
			x, y := float64(c)/n, float64(r)/n
			g.HeightM[r*n+c] = float32(500 + 200*math.Sin(19*x+3*y)*math.Cos(23*y) + 40*math.Sin(170*x)*math.Sin(140*y))
		}
	}
	return g
}

// BenchmarkLink is one whole link of 30 km at 1" posts with the window loaded:
// profile along the geodesic, heights, both directions, both k. Read ns/op and
// allocs/op against the number of points, which it reports.
func BenchmarkLink(b *testing.B) {
	grid := hills()
	from := orb.Point{-84.71, 36.31}
	to := terrain.Destination(from, 52, 30e3)
	for name, heightM := range map[string]float64{"low": 6, "high": 200} {
		b.Run(name, func(b *testing.B) {
			s := linkbudget.DefaultStation("s", heightM)
			b.ReportAllocs()
			points := 0
			for b.Loop() {
				p, err := terrain.NewProfile(grid, from, to, terrain.ProfileOptions{})
				if err != nil {
					b.Fatal(err)
				}
				r, err := linkbudget.Evaluate(p, s, s, environment())
				if err != nil || r.Verdict == linkbudget.Unknown {
					b.Fatal(err, r.Verdict)
				}
				points = len(p.DistM)
			}
			b.ReportMetric(float64(points), "points")
		})
	}
}
