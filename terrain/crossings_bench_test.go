package terrain

import (
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// BenchmarkSample10km samples one path after the other into the same memory, as a
// survey does: paths of 10 km over a tile of posts 3" apart, near each other as
// pairs of a mesh are, and the same path again and again.
func BenchmarkSample10km(b *testing.B) {
	const cols = 1201
	g := filledGrid(Lattice{WestDeg: 11, NorthDeg: 50, StepLonDeg: 1.0 / 1200, StepLatDeg: 1.0 / 1200, Cols: cols,
		Rows: cols}, rough)
	rng := rand.New(rand.NewPCG(1, 2))
	ends := make([][2]orb.Point, 4096)
	for i := range ends {
		middle := orb.Point{11.2 + 0.6*float64(i)/4096, 49.2 + 0.6*float64(i)/4096}
		east, north := 0.06*rng.Float64()-0.03, 0.03
		ends[i] = [2]orb.Point{{middle[0] - east, middle[1] - north}, {middle[0] + east, middle[1] + north}}
	}
	for name, mask := range map[string]int{"mesh": 4095, "same": 0} {
		b.Run(name, func(b *testing.B) {
			var p Profile
			i, points := 0, 0
			for ; b.Loop(); i++ {
				e := &ends[i&mask]
				if err := p.Sample(g, e[0], e[1], ProfileOptions{}); err != nil {
					b.Fatal(err)
				}
				points += len(p.DistM)
			}
			b.ReportMetric(float64(points)/float64(i), "points")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(points), "ns/point")
		})
	}
}
