//go:build gdal

package gdal

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	binding "github.com/lukeroth/gdal"
)

// promised are small files of every format of Formats, and of the ways a GeoTIFF is packed;
// summed are those with a checksum over their heights, in the file or in what it leads to.
var promised = []struct {
	name, driver, file string
	options            []string
	summed             bool
}{
	{"GeoTIFF, DEFLATE", "GTiff", "a.tif", []string{"COMPRESS=DEFLATE", "TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=64"}, true},
	{"GeoTIFF, LZW", "GTiff", "a.tif", []string{"COMPRESS=LZW", "BLOCKYSIZE=16"}, false},
	{"GeoTIFF, uncompressed", "GTiff", "a.tif", []string{"BLOCKYSIZE=16"}, false},
	{"COG", "COG", "a.tif", []string{"COMPRESS=DEFLATE", "BLOCKSIZE=128"}, true},
	{"VRT", "VRT", "a.vrt", nil, false},
	{"AAIGrid", "AAIGrid", "a.asc", []string{"FORCE_CELLSIZE=TRUE"}, false},
	{"SRTMHGT", "SRTMHGT", "N36W085.hgt", nil, false},
	{"DTED", "DTED", "a.dt1", nil, true},
}

// makePromised copies one made raster, rolling ground over a degree, into a format.
func makePromised(t *testing.T, source, driver, path string, options []string) {
	t.Helper()
	made := false
	text := call(false, func() {
		from, err := binding.Open(source, binding.ReadOnly)
		if err != nil {
			return
		}
		defer from.Close()
		d, err := binding.GetDriverByName(driver)
		if err != nil {
			return
		}
		to := d.CreateCopy(path, from, 0, options, nil, nil)
		made = to != (binding.Dataset{})
		to.Close()
	})
	if !made {
		t.Fatalf("%s: %v", driver, text)
	}
}

// A file cut anywhere never gives other heights, and never passes for whole. A byte turned
// over gives no other heights where these have a checksum; what the others let through is logged.
func TestPromisedFormatsDamaged(t *testing.T) {
	if testing.Short() {
		t.Skip("looks at 640 files: run it without -short")
	}
	source := func(side int) string {
		return sample{cols: side + 1, rows: side + 1, kind: binding.Int16, crs: "EPSG:4326",
			transform: lonLat(-85, 37, 1/float64(side)),
			value:     func(col, row int) float64 { return float64(300 + (col*col/97+row*row/61)%400) },
		}.make(t, "source.tif")
	}
	small, tile := source(200), source(1200)
	for _, f := range promised {
		t.Run(f.name, func(t *testing.T) {
			dir := t.TempDir()
			whole := filepath.Join(dir, f.file)
			source := small
			if f.driver == "SRTMHGT" || f.driver == "DTED" { // which know few sizes
				source = tile
			}
			makePromised(t, source, f.driver, whole, f.options)
			data, err := os.ReadFile(whole)
			if err != nil {
				t.Fatal(err)
			}
			var cut, turned []string
			put := func(what string, k int, bytes []byte) string {
				folder := filepath.Join(dir, fmt.Sprintf("%s%02d", what, k))
				if err := os.Mkdir(folder, 0o755); err != nil {
					t.Fatal(err)
				}
				path := filepath.Join(folder, f.file)
				if prj, err := os.ReadFile(filepath.Join(dir, "a.prj")); err == nil {
					_ = os.WriteFile(filepath.Join(folder, "a.prj"), prj, 0o644)
				}
				if err := os.WriteFile(path, bytes, 0o644); err != nil {
					t.Fatal(err)
				}
				return path
			}
			rng := rand.New(rand.NewPCG(11, 3))
			for k := range 40 {
				cut = append(cut, put("cut", k, data[:len(data)*k/40]))
				other := bytes.Clone(data)
				other[rng.IntN(len(data))] ^= byte(1 + rng.IntN(255))
				turned = append(turned, put("turned", k, other))
			}
			refused := 0
			for path, o := range lookInChild(t, whole, cut) {
				if !o.opened {
					refused++
				} else if o.other > 0 || !o.told {
					t.Errorf("%s: %d other heights; told %t", path, o.other, o.told)
				}
			}
			silent, changed := 0, 0
			for _, o := range lookInChild(t, whole, turned) {
				if o.opened && !o.told {
					silent++
				}
				if o.opened && o.other > 0 {
					changed++
				}
			}
			if f.summed && changed > 0 {
				t.Errorf("%d of 40 files with a byte turned over give other heights, though these have a checksum", changed)
			}
			t.Logf("%d kB: cut 40, refused %d, the others told; a byte turned over in 40: %d told by nothing, %d with "+
				"another of 100 heights", len(data)>>10, refused, silent, changed)
		})
	}
}
