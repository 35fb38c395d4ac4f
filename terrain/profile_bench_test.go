package terrain

import (
	"testing"

	"github.com/paulmach/orb"
)

// A 30 km path at 50° north over 1" posts: about 1700 points.
var (
	benchFrom = orb.Point{11.55, 50.42}
	benchTo   = Destination(benchFrom, 52, 30e3)
)

// arcSecondGrid covers the bench path from a west edge on, 1" posts.
func arcSecondGrid(westDeg, widthDeg float64) *Grid {
	const step = 1.0 / 3600
	return filledGrid(Lattice{WestDeg: westDeg, NorthDeg: 50.7, StepLonDeg: step, StepLatDeg: step,
		Cols: int(widthDeg*3600+0.5) + 1, Rows: 1201}, func(lon, lat float64) float64 {
		return 300 + 40*(lon-11) +
			20*(lat-50)
	})
}

func benchmarkProfile(b *testing.B, dem DEM) {
	b.Helper()
	b.ReportAllocs()
	points := 0
	for b.Loop() {
		p, err := NewProfile(dem, benchFrom, benchTo, ProfileOptions{})
		if err != nil || p.Unknown() != nil {
			b.Fatal(err, p.Unknown())
		}
		points = len(p.DistM)
	}
	b.ReportMetric(float64(points), "points")
}

func BenchmarkProfile30kmGrid(b *testing.B) { benchmarkProfile(b, arcSecondGrid(11.5, 0.5)) }

// Into memory that is there already.
func BenchmarkSample30km(b *testing.B) {
	g := arcSecondGrid(11.5, 0.5)
	var p Profile
	for b.Loop() {
		if err := p.Sample(g, benchFrom, benchTo, ProfileOptions{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(p.DistM)), "ns/point")
}

// Three tiles that share edges, the usual case.
func BenchmarkProfile30kmTiles(b *testing.B) {
	benchmarkProfile(b, tilesOf(b, arcSecondGrid(11.4, 0.2), arcSecondGrid(11.6, 0.2), arcSecondGrid(11.8, 0.2)))
}

// Fine terrain over coarse: every place has two candidates.
func BenchmarkProfile30kmOverlap(b *testing.B) {
	coarse := filledGrid(Lattice{-180, 90, 0.5, 0.5, 721, 361}, rough)
	benchmarkProfile(b, tilesOf(b, arcSecondGrid(11.4, 0.2), coarse, arcSecondGrid(11.6, 0.4)))
}

// Allocations belong to the profile, not to its points.
func TestProfileAllocations(t *testing.T) {
	g := arcSecondGrid(11.5, 0.5)
	for name, dem := range map[string]DEM{"grid": g, "tiles": tilesOf(t, g), "stack": Stack(g)} {
		for _, spacingM := range []float64{0, 1000, 20} {
			got := testing.AllocsPerRun(20, func() {
				if _, err := NewProfile(dem, benchFrom, benchTo, ProfileOptions{SpacingM: spacingM}); err != nil {
					t.Fatal(err)
				}
			})
			if got > 8 {
				t.Errorf("%s, every %g m: %g allocations", name, spacingM, got)
			}
		}
	}
}
