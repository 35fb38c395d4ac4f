//go:build gdal

package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unsafe"

	binding "github.com/lukeroth/gdal"
)

// opened is a raster as GDAL reads it.
type opened struct {
	cols, rows int
	place      [6]float64 // GDAL's geotransform
	crs, unit  string
	band       string // what it says of itself
	voidValue  float64
	value      []float32 // scaled, voidValue as it is
	kind       binding.DataType
}

func openRaster(t *testing.T, path string) opened {
	t.Helper()
	ds, err := binding.Open(path, binding.ReadOnly)
	if err != nil {
		t.Fatal(err)
	}
	defer ds.Close()
	band := ds.RasterBand(1)
	o := opened{cols: ds.RasterXSize(), rows: ds.RasterYSize(), place: ds.GeoTransform(), crs: ds.Projection(),
		unit: band.GetUnitType()}
	o.voidValue, _ = band.NoDataValue()
	o.band = (*binding.MajorObject)(unsafe.Pointer(&band)).Description() // both are one handle
	o.value = make([]float32, o.cols*o.rows)
	if err := band.IO(binding.Read, 0, 0, o.cols, o.rows, o.value, o.cols, o.rows, 0, 0); err != nil {
		t.Fatal(err)
	}
	o.kind = band.RasterDataType()
	if scale, has := band.GetScale(); has {
		for i, v := range o.value {
			if float64(v) != o.voidValue {
				o.value[i] = v * float32(scale)
			}
		}
	}
	return o
}

// writeAcrossAntimeridian writes invented rolling ground at 16.9 to 17 degrees
// south as two grids, one on each side.
func writeAcrossAntimeridian(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	for name, part := range map[string]struct {
		westDeg  float64
		from, to int
	}{"west.asc": {179.95, 0, 61}, "east.asc": {179.95 - 360, 60, 121}} {
		var b strings.Builder
		fmt.Fprintf(&b, "ncols %d\nnrows 121\nxllcenter %.12f\nyllcenter -17.0\ncellsize %.15f\nNODATA_value -9999\n",
			part.to-part.from, part.westDeg+float64(part.from)/1200, 1.0/1200)
		for row := range 121 {
			for col := part.from; col < part.to; col++ {
				fmt.Fprintf(&b, "%.1f ", 300+60*math.Sin(float64(col)/7)*math.Cos(float64(row)/9)+15*math.Sin(float64(col)/2+float64(row)/3))
			}
			b.WriteByte('\n')
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// All files of one coverage, opened by GDAL and OGR: the GeoTIFF and the ASCII
// grid agree cell by cell, to the steps of the GeoTIFF, the picture lies where they lie, the contours are valid
// and hold the cells that the GeoTIFF counts at each level.
func TestCoverageFilesInGDAL(t *testing.T) {
	for name, c := range map[string]struct {
		code int
		args []string
	}{
		"edge of the terrain": {exitHolds, []string{"--at", "-84.09,36.7", "--height-m", "6", "--radius-km", "6"}},
		"margin":              {exitHolds, []string{"--pole", "Tanager Knob", "--radius-km", "3", "--quantity", "margin"}},
		"several, who": {exitHolds, []string{"--pole", "Tanager Knob", "--pole", "Long Bench", "--radius-km", "3",
			"--quantity", "who"}},
		"antimeridian": {exitHolds, []string{"--at", "179.99,-16.95", "--height-m", "8", "--radius-km", "4", "--dem",
			writeAcrossAntimeridian(t)}},
	} {
		t.Run(name, func(t *testing.T) {
			base := filepath.Join(t.TempDir(), "out")
			r := polereach(t, append(append([]string{"coverage"}, c.args...), "--png", base+".png", "--asc", base+".asc",
				"--tif", base+".tif", "--geojson-contours", base+".geojson", "--levels", "50,90", demo+"plan.geojson")...)
			if r.code != c.code || r.err != "" {
				t.Fatalf("exit %d, stderr %q", r.code, r.err)
			}
			tif, asc, png := openRaster(t, base+".tif"), openRaster(t, base+".asc"), openRaster(t, base+".png")
			kind, void := binding.Byte, 255.0
			if name == "margin" {
				kind, void = binding.Int16, -32768
			}
			if tif.cols != asc.cols || tif.rows != asc.rows || tif.voidValue != void || asc.voidValue != -9999 || tif.kind != kind {
				t.Fatalf("GeoTIFF %d x %d, void %g; grid %d x %d, void %g", tif.cols, tif.rows, tif.voidValue, asc.cols, asc.rows,
					asc.voidValue)
			}
			if !strings.Contains(tif.crs, "WGS 84") || !strings.Contains(asc.crs, "WGS_1984") &&
				!strings.Contains(asc.crs, "WGS 84") {
				t.Errorf("coordinate systems %q and %q", tif.crs, asc.crs)
			}
			want := [2]string{"%", "the new pole: chance that the link closes, %"}
			switch name {
			case "margin":
				want = [2]string{"dB", "Tanager Knob: margin, dB"}
			case "several, who":
				want = [2]string{"1", "2 poles: who carries here, 0 nobody, 1 Tanager Knob, 2 Long Bench"}
			}
			if got := [2]string{tif.unit, tif.band}; got != want {
				t.Errorf("unit and band are %q, want %q", got, want)
			}
			voids := 0
			for i := range tif.value {
				of := asc.value[i]
				same := tif.value[i] == float32(math.Floor(float64(of))) // whole per cent, and poles
				if kind == binding.Int16 {
					same = math.Abs(float64(tif.value[i]-of)) < 0.0501
				}
				if of == -9999 {
					same = float64(tif.value[i]) == void
					voids++
				}
				if !same {
					t.Fatalf("cell %d is %g in the GeoTIFF, %g in the grid", i, tif.value[i], of)
				}
			}
			if voids == 0 || voids == len(tif.value) {
				t.Errorf("%d of %d cells are void; a circle in a square has some", voids, len(tif.value))
			}
			for i := range tif.place {
				if !(math.Abs(tif.place[i]-asc.place[i]) < 1e-9) {
					t.Errorf("geotransforms %v and %v", tif.place, asc.place)
				}
			}
			zoom := math.Round(tif.place[1] / png.place[1])
			if !(math.Abs(png.place[0]-tif.place[0]) < 1e-9 && math.Abs(png.place[3]-tif.place[3]) < 1e-9 &&
				math.Abs(zoom*png.place[1]-tif.place[1]) < 1e-12 && math.Abs(zoom*png.place[5]-tif.place[5]) < 1e-12) ||
				png.cols != int(zoom)*tif.cols {
				t.Errorf("picture of %d columns at %v, GeoTIFF of %d at %v", png.cols, png.place, tif.cols, tif.place)
			}
			counts := []float64{-1, -1}
			if name == "edge of the terrain" || name == "antimeridian" {
				for i, level := range []float32{50, 90} {
					counts[i] = 0
					for _, v := range tif.value {
						if v >= level && float64(v) != void {
							counts[i]++
						}
					}
				}
			}
			checkContours(t, base+".geojson", tif.place[1]*-tif.place[5], counts)
		})
	}
}

// checkContours reads contours with OGR. counts are the cells wanted in each, -1:
// not known.
func checkContours(t *testing.T, path string, cellDeg2 float64, counts []float64) {
	t.Helper()
	ds := binding.OpenDataSource(path, 0)
	defer ds.Destroy()
	layer := ds.LayerByIndex(0)
	n := 0
	for f := layer.NextFeature(); f != nil; f = layer.NextFeature() {
		g := f.Geometry()
		if !g.IsValid() {
			t.Errorf("feature %d is not valid", n)
		}
		// Corners are rounded to 1e-7 degrees, a ten-thousandth of a cell.
		if cells := g.Area() / cellDeg2; n < len(counts) && counts[n] >= 0 && !(math.Abs(cells-counts[n]) < 0.5) {
			t.Errorf("feature %d has the area of %.2f cells, the GeoTIFF %g", n, cells, counts[n])
		}
		n++
		f.Destroy()
	}
	if n != len(counts)+1 {
		t.Errorf("%d features, want %d levels and what was not judged", n, len(counts))
	}
	// What OGR may mend while it reads: RFC 7946 §3.1.6, from the text itself.
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Features []struct {
			Geometry struct {
				Coordinates [][][][2]float64
			}
		}
	}
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	rings := 0
	for _, f := range file.Features {
		for _, polygon := range f.Geometry.Coordinates {
			for i, ring := range polygon {
				rings++
				var sum float64
				for k := 1; k < len(ring); k++ {
					a, b := ring[k-1], ring[k]
					sum += (a[0]-ring[0][0])*(b[1]-ring[0][1]) - (b[0]-ring[0][0])*(a[1]-ring[0][1])
					if !(math.Abs(b[0]) <= 180 && math.Abs(b[1]) <= 90) || math.Abs(b[0]-a[0]) > 90 {
						t.Errorf("from %v to %v", a, b)
					}
				}
				if len(ring) < 4 || ring[0] != ring[len(ring)-1] || (sum > 0) != (i == 0) {
					t.Errorf("ring %d of %d corners, closed %v, area %g", i, len(ring), ring[0] == ring[len(ring)-1], sum/2)
				}
			}
		}
	}
	if rings < 2 {
		t.Errorf("%d rings", rings)
	}
}
