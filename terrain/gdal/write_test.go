//go:build gdal

package gdal

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	binding "github.com/lukeroth/gdal"
	"github.com/polereach/polereach/terrain"
)

// asGrid reads a built-in tile whole.
func asGrid(t *testing.T, name string) *terrain.Grid {
	t.Helper()
	sources, err := terrain.OpenSources(os.DirFS(cumberland), name)
	if err != nil {
		t.Fatal(err)
	}
	g, err := sources[0].Load()
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// writeTIFF writes a grid into a file.
func writeTIFF(path string, g *terrain.Grid, opt WriteOptions) error {
	var b bytes.Buffer
	if err := WriteGeoTIFF(&b, g, opt); err != nil {
		return err
	}
	return os.WriteFile(path, b.Bytes(), 0o644)
}

func TestWriteGeoTIFFReadsBack(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"cumberland_ll.asc", "N36W085.hgt.zip"} { // without and with voids
		g := asGrid(t, name)
		path := filepath.Join(dir, name+".tif")
		if err := os.WriteFile(path, []byte("what was there before"), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := writeTIFF(path, g, WriteOptions{}); err != nil {
			t.Fatal(err)
		}
		r := mustOpen(t, path)
		at := placesIn(g.Extent().Bound, 5000)
		want, flag := make([]float64, len(at)), make([]terrain.Flag, len(at))
		if err := g.Heights(at, want, flag); err != nil {
			t.Fatal(err)
		}
		if name == "N36W085.hgt.zip" {
			sameBits(t, r, at, want, flag)
		} else {
			got, gotFlag := make([]float64, len(at)), make([]terrain.Flag, len(at))
			if err := r.Heights(at, got, gotFlag); err != nil {
				t.Fatal(err)
			}
			for i := range at { // the header of the .asc gives 12 digits, so its lattice lies a hair off
				if gotFlag[i] != flag[i] || !(math.Abs(got[i]-want[i]) <= 1e-4) {
					t.Errorf("%.9f: %v m, %v; want %v m, %v", at[i], got[i], gotFlag[i], want[i], flag[i])
				}
			}
		}
		if i := r.Info(); i.CRS != "WGS 84" || i.DataType != "Float32" || i.Cols != g.Cols || i.Rows != g.Rows ||
			i.VerticalUnit != "metre" {
			t.Errorf("%+v", i)
		}
	}
	if left := made(fmt.Sprintf("/vsimem/polereach/%d.tif", written.Load())); len(left) > 0 {
		t.Errorf("%d bytes left in memory", len(left))
	}
}

// GDAL's own account of the file.
func TestWriteGeoTIFFLayout(t *testing.T) {
	g := asGrid(t, "N36W085.hgt.zip")
	for _, without := range []bool{false, true} {
		path := filepath.Join(t.TempDir(), "t.tif")
		if err := writeTIFF(path, g, WriteOptions{NoOverviews: without}); err != nil {
			t.Fatal(err)
		}
		if text := call(false, func() {
			ds, err := binding.Open(path, binding.ReadOnly)
			if err != nil {
				t.Error(err)
				return
			}
			defer ds.Close()
			b := ds.RasterBand(1)
			c, r := b.BlockSize()
			noData, has := b.NoDataValue()
			compression := ds.MetadataItem("COMPRESSION", "IMAGE_STRUCTURE")
			want := 3 // of 1201 posts a side: 601, 301 and 151, the next would fit half a tile
			if without {
				want = 0
			}
			if c != 256 || r != 256 || !has || noData != -9999 || compression != "DEFLATE" || b.OverviewCount() != want {
				t.Errorf("blocks %d by %d, no-data %g %v, %s, %d overviews; want 256, 256, -9999, DEFLATE, %d", c, r, noData, has,
					compression, b.OverviewCount(), want)
			}
		}); text != nil {
			t.Error(text)
		}
	}
}

func TestWriteGeoTIFFRefuses(t *testing.T) {
	g := &terrain.Grid{Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 50, StepLonDeg: 1, StepLatDeg: 1, Cols: 1,
		Rows: 1}, HeightM: []float32{5}}
	for name, tc := range map[string]struct {
		g    *terrain.Grid
		want string
	}{
		"nothing":       {nil, "no grid"},
		"contradictory": {&terrain.Grid{Lattice: g.Lattice}, "0 heights"},
	} {
		var b bytes.Buffer
		if err := WriteGeoTIFF(&b, tc.g, WriteOptions{}); err == nil || !strings.Contains(err.Error(), tc.want) || b.Len() > 0 {
			t.Errorf("%s: error %v, want one with %q; %d bytes written", name, err, tc.want, b.Len())
		}
	}
	path := filepath.Join(t.TempDir(), "one.tif")
	if err := writeTIFF(path, g, WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	closeTo(t, mustOpen(t, path), orb.Point{10, 50}, 5, 0)
}

// The same grid through both writers answers alike.
func TestWritersAgree(t *testing.T) {
	g := asGrid(t, "cumberland_ll.asc")
	dir := t.TempDir()
	f, err := os.Create(filepath.Join(dir, "t.asc"))
	if err != nil {
		t.Fatal(err)
	}
	if err := terrain.WriteASCIIGrid(f, g); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "t.prj"), []byte(wktOf(t, "EPSG:4326")), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := writeTIFF(filepath.Join(dir, "t.tif"), g, WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	a, b := mustOpen(t, filepath.Join(dir, "t.asc")), mustOpen(t, filepath.Join(dir, "t.tif"))
	if a.Info().Driver != "AAIGrid" {
		t.Errorf("driver %s", a.Info().Driver)
	}
	for _, p := range placesIn(g.Extent().Bound.Pad(-1e-6), 500) {
		h, _ := heightAt(t, a, p)
		closeTo(t, b, p, h, 1e-4)
	}
}
