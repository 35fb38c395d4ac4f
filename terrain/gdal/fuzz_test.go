//go:build gdal

package gdal

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
)

// FuzzOpen: whatever is in a file of a promised format, it is refused, or its heights are ground, a
// void, or told as unreadable, the same each time, and all its posts are counted.
func FuzzOpen(f *testing.F) {
	small := sample{cols: 3, rows: 4, crs: "EPSG:4326", transform: [6]float64{10, 0.01, 0, 50, 0, -0.01},
		value: func(col, row int) float64 { return float64(100*col + row) }}
	utm := small
	utm.crs, utm.transform = "EPSG:32632", [6]float64{500000, 30, 0, 5500000, 0, -30}
	packed := small
	packed.options = []string{"TILED=YES", "BLOCKXSIZE=16", "BLOCKYSIZE=16", "COMPRESS=DEFLATE", "PREDICTOR=2"}
	for _, s := range []sample{small, utm, packed} {
		data, err := os.ReadFile(s.make(f, "seed.tif"))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data, byte(0))
	}
	f.Add([]byte("ncols 2\nnrows 2\nxllcorner 10\nyllcorner 50\ncellsize 0.5\nNODATA_value -9999\n1 2.5\n-3 -9999\n"), byte(1))
	f.Add([]byte(`<VRTDataset rasterXSize="2" rasterYSize="2"><SRS>EPSG:4326</SRS><GeoTransform>10,0.5,0,50,0,-0.5</GeoTransform>`+
		`<VRTRasterBand dataType="Float32" band="1"/></VRTDataset>`), byte(2))
	endings := []string{"tif", "asc", "vrt", "dt0", "hgt"}
	folder := f.TempDir()
	f.Fuzz(func(t *testing.T, data []byte, ending byte) {
		path := filepath.Join(folder, "fuzzed."+endings[int(ending)%len(endings)])
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		r, err := Open(path, Options{Cache: NewCache(1 << 20)})
		if err != nil {
			return
		}
		defer r.Close()
		info := r.Info()
		if info.Cols < 1 || info.Rows < 1 {
			t.Fatalf("%+v", info)
		}
		b := info.Extent.Bound
		for _, p := range []orb.Point{b.Min, b.Max, b.Center(), {b.Min[0], b.Max[1]}} {
			h, known := heightOrError(r, p)
			again, knownAgain := heightOrError(r, p)
			if known != knownAgain || known && (h != again || !(h >= lowestGroundM && h <= highestGroundM)) {
				t.Fatalf("%v: %g m, %v, again %g m, %v", p, h, known, again, knownAgain)
			}
		}
		if int64(info.Cols)*int64(info.Rows) > 1e5 {
			return
		}
		c, err := r.Count(context.Background())
		if err != nil {
			return
		}
		if c.Posts != int64(info.Cols)*int64(info.Rows) || c.Voids > c.Posts || c.Implausible > c.Voids ||
			c.Voids < c.Posts && !(c.LowestM <= c.HighestM && c.LowestM >= lowestGroundM && c.HighestM <= highestGroundM) ||
			math.IsNaN(c.LowestM) {
			t.Fatalf("%+v of %+v", c, info)
		}
	})
}
