//go:build gdal

package gdal

import (
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// A path of 1000 places, 30 km, with the blocks in the cache.
func benchmarkPath(b *testing.B, path string) {
	r, err := Open(path, Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer r.Close()
	at := make([]orb.Point, 1000)
	for i := range at {
		at[i] = orb.Point{-84.40 + 0.0003*float64(i), 36.47 + 0.00025*float64(i)}
	}
	h, flag := make([]float64, len(at)), make([]terrain.Flag, len(at))
	b.ReportAllocs()
	for b.Loop() {
		if err := r.Heights(at, h, flag); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHeightsDegrees(b *testing.B) { benchmarkPath(b, cumberland+"cumberland_ll_int16.tif") }

func BenchmarkHeightsUTM(b *testing.B) {
	benchmarkPath(b, cumberland+"cumberland_utm16n_float32.tif")
}

// One block of 256 by 256 out of the file, past the cache.
func BenchmarkReadBlock(b *testing.B) {
	r, err := Open(cumberland+"cumberland_ll_int16.tif", Options{Cache: NewCache(1)})
	if err != nil {
		b.Fatal(err)
	}
	defer r.Close()
	for b.Loop() {
		if _, err := r.block(0, 0); err != nil {
			b.Fatal(err)
		}
	}
}
