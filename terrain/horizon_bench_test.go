package terrain

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// hills are 1" posts over 1.1° round 46.5 N, 8 E: ridges of 12 and 3 km that
// hide little of each other, so that every direction is walked to its end.
func hills(b *testing.B) *Grid {
	b.Helper()
	const step = 1.0 / 3600
	return filledGrid(Lattice{WestDeg: 7.3, NorthDeg: 47, StepLonDeg: step, StepLatDeg: step, Cols: 5041, Rows: 3601},
		func(lon, lat float64) float64 {
			x, y := lon*76.7, lat*111.2 // km
			return 400 + 60*math.Sin(x/2)*math.Cos(y/2) + 15*math.Sin(2.1*x+y) + 4*math.Hypot(x-613.6, y-5170.8)
		})
}

func benchmarkHorizon(b *testing.B, dem DEM, opt HorizonOptions) {
	b.Helper()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Horizon(context.Background(), dem, orb.Point{8, 46.5}, 3, opt); err != nil {
			b.Fatal(err)
		}
	}
}

// The bar of the project: 1" posts, 360 directions, 50 km, under 50 ms.
func BenchmarkHorizon50kmGrid(b *testing.B) {
	benchmarkHorizon(b, hills(b), HorizonOptions{MaxM: 50e3})
}

func BenchmarkHorizon50kmTiles(b *testing.B) {
	benchmarkHorizon(b, tilesOf(b, hills(b)), HorizonOptions{MaxM: 50e3})
}

// With the highest ground stated, hidden ground far off is not looked at.
func BenchmarkHorizon50kmHighestStated(b *testing.B) {
	benchmarkHorizon(b, hills(b), HorizonOptions{MaxM: 50e3, HighestM: 700})
}
