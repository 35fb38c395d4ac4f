//go:build gdal

package gdal

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	binding "github.com/lukeroth/gdal"
	"github.com/polereach/polereach/terrain/geotiff"
)

// What package geotiff writes, as GDAL reads it: every pixel, what is told of them, and the layout.
func TestWrittenGeoTIFFInGDAL(t *testing.T) {
	for _, c := range []struct {
		cols, rows int
		wide       bool
		scale      float64
	}{{1, 1, false, 0}, {256, 300, false, 1}, {700, 513, true, 0.1}, {30, 1000, true, 0.25}} {
		rng, n := rand.New(rand.NewPCG(7, uint64(c.cols))), c.cols*c.rows
		want := make([]int16, n)
		im := geotiff.Image{Cols: c.cols, Rows: c.rows, WestDeg: -84.4, NorthDeg: 36.7, StepLonDeg: 1.0 / 1200,
			StepLatDeg: 1.0 / 3600, Wide: c.wide, NoData: 255, Scale: c.scale, Unit: "%", Description: "Äcker <&> \"so\""}
		kind := binding.Byte
		if c.wide {
			im.NoData, im.Unit, kind = -32768, "dB", binding.Int16
		}
		for i := range want {
			if want[i] = int16(rng.IntN(256)); c.wide {
				want[i] = int16(rng.Uint32())
			}
		}
		im.Row = func(row, col int, out []int16) { copy(out, want[row*c.cols+col:]) }
		var file bytes.Buffer
		path := filepath.Join(t.TempDir(), "t.tif")
		if err := geotiff.Write(&file, im); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, file.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		text := call(false, func() {
			ds, err := binding.Open(path, binding.ReadOnly)
			if err != nil {
				t.Error(err)
				return
			}
			defer ds.Close()
			b := ds.RasterBand(1)
			noData, has := b.NoDataValue()
			scale, _ := b.GetScale()
			offset, _ := b.GetOffset()
			if c.scale == 0 {
				c.scale = 1
			}
			if !has || noData != float64(im.NoData) || scale != c.scale || offset != 0 || b.GetUnitType() != im.Unit ||
				bandDescription(b) != im.Description || b.RasterDataType() != kind || ds.RasterCount() != 1 {
				t.Errorf("no data %g %v, %g and %g, in %q, %q, %s", noData, has, scale, offset, b.GetUnitType(),
					bandDescription(b), b.RasterDataType().Name())
			}
			wide, high := b.BlockSize()
			if how := ds.MetadataItem("COMPRESSION", "IMAGE_STRUCTURE"); wide != 256 || high != 256 || how != "DEFLATE" {
				t.Errorf("blocks %d by %d, %s", wide, high, how)
			}
			place := [6]float64{-84.4 - 1.0/2400, 1.0 / 1200, 0, 36.7 + 1.0/7200, 0, -1.0 / 3600}
			for k, v := range ds.GeoTransform() {
				if d := v - place[k]; !(d < 1e-12 && d > -1e-12) {
					t.Errorf("geotransform %v, want %v", ds.GeoTransform(), place)
				}
			}
			system := binding.CreateSpatialReference(ds.Projection())
			defer system.Destroy()
			if name, _ := system.AttrValue("GEOGCS", 0); name != "WGS 84" {
				t.Errorf("coordinate system %q", ds.Projection())
			}
			got := make([]int16, n)
			if err := b.IO(binding.Read, 0, 0, c.cols, c.rows, got, c.cols, c.rows, 0, 0); err != nil {
				t.Error(err)
			}
			for i := range got {
				if got[i] != want[i] {
					t.Fatalf("pixel %d is %d, written %d", i, got[i], want[i])
				}
			}
		})
		if text != nil {
			t.Error(text)
		}
	}
}
