//go:build gdal

package gdal

import (
	"archive/zip"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

const cumberland = "../../testdata/cumberland/"

// placesIn returns n places in a bound, a third of them on posts of 3", and its
// corners.
func placesIn(b orb.Bound, n int) []orb.Point {
	rng := rand.New(rand.NewPCG(3, 14))
	at := []orb.Point{b.Min, b.Max, {b.Min[0], b.Max[1]}, {b.Max[0], b.Min[1]}}
	for i := range n {
		p := orb.Point{b.Min[0] + rng.Float64()*(b.Max[0]-b.Min[0]), b.Min[1] + rng.Float64()*(b.Max[1]-b.Min[1])}
		if i%3 == 0 {
			p[0] = math.Round(p[0]*1200) / 1200
		}
		if i%6 == 0 {
			p[1] = math.Round(p[1]*1200) / 1200
		}
		at = append(at, p)
	}
	return at
}

// sameBits checks that a DEM gives the very heights of another, flag for flag.
func sameBits(t *testing.T, d terrain.DEM, at []orb.Point, want []float64, wantFlag []terrain.Flag) {
	t.Helper()
	got, flag := make([]float64, len(at)), make([]terrain.Flag, len(at))
	if err := d.Heights(at, got, flag); err != nil {
		t.Fatal(err)
	}
	known, bad := 0, 0
	for i := range at {
		if wantFlag[i].Known() {
			known++
		}
		if got[i] != want[i] || flag[i] != wantFlag[i] {
			if bad++; bad <= 5 {
				t.Errorf("%.12f: %v m, %v; want %v m, %v", at[i], got[i], flag[i], want[i], wantFlag[i])
			}
		}
	}
	if bad > 0 {
		t.Errorf("%d of %d places differ", bad, len(at))
	}
	if known == 0 {
		t.Error("no place with a height among them: nothing compared")
	}
}

// The window of the GeoTIFF is cut from the tile beside it, so both hold the
// same posts (SOURCES.md); the built-in reader is the second derivation.
func TestGeoTIFFEqualsSRTMTile(t *testing.T) {
	tile := builtIn(t, cumberland)
	sources, err := terrain.OpenSources(os.DirFS(cumberland), "N36W085.hgt.zip")
	if err != nil {
		t.Fatal(err)
	}
	if tile, err = terrain.NewTiles(sources, terrain.TilesOptions{}); err != nil {
		t.Fatal(err)
	}
	r := mustOpen(t, cumberland+"cumberland_ll_int16.tif")
	b := r.Extent().Bound
	at := placesIn(b, 20000)
	want, flag := make([]float64, len(at)), make([]terrain.Flag, len(at))
	if err := tile.Heights(at, want, flag); err != nil {
		t.Fatal(err)
	}
	sameBits(t, r, at, want, flag)
	// A turn of the earth on, they answer alike, too.
	for i := range at {
		at[i][0] += 360
	}
	if err := tile.Heights(at, want, flag); err != nil {
		t.Fatal(err)
	}
	sameBits(t, r, at, want, flag)
}

// The whole tile, read by GDAL's own driver, voids included.
func TestSRTMTileThroughGDAL(t *testing.T) {
	sources, err := terrain.OpenSources(os.DirFS(cumberland), "N36W085.hgt.zip")
	if err != nil {
		t.Fatal(err)
	}
	tile, err := sources[0].Load()
	if err != nil {
		t.Fatal(err)
	}
	r := mustOpen(t, unzipTile(t, cumberland, "N36W085", t.TempDir()))
	at := placesIn(orb.Bound{Min: orb.Point{-85, 36}, Max: orb.Point{-84, 37}}, 20000)
	at = append(at, orb.Point{-85.0001, 36.5}, orb.Point{-84.5, 37.0001})
	want, flag := make([]float64, len(at)), make([]terrain.Flag, len(at))
	if err := tile.Heights(at, want, flag); err != nil {
		t.Fatal(err)
	}
	sameBits(t, r, at, want, flag)
}

// The UTM file was made of the posts by one bilinear resampling to 90 m
// (SOURCES.md), so heights agree but for that; and they agree best where they
// are: moved by a third of a post in any direction, they agree less.
func TestUTMLiesWhereGeoTIFFLies(t *testing.T) {
	ll, utm := mustOpen(t, cumberland+"cumberland_ll_int16.tif"), mustOpen(t, cumberland+"cumberland_utm16n_float32.tif")
	at := placesIn(ll.Extent().Bound.Pad(-0.02), 5000)
	want, flag := make([]float64, len(at)), make([]terrain.Flag, len(at))
	if err := ll.Heights(at, want, flag); err != nil {
		t.Fatal(err)
	}
	rms := func(dLon, dLat float64) float64 {
		moved := make([]orb.Point, len(at))
		for i, p := range at {
			moved[i] = orb.Point{p[0] + dLon, p[1] + dLat}
		}
		got, gotFlag := make([]float64, len(at)), make([]terrain.Flag, len(at))
		if err := utm.Heights(moved, got, gotFlag); err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for i := range at {
			if gotFlag[i] != terrain.Ground || flag[i] != terrain.Ground {
				t.Fatalf("%v: %v and %v", at[i], flag[i], gotFlag[i])
			}
			sum += (got[i] - want[i]) * (got[i] - want[i])
		}
		return math.Sqrt(sum / float64(len(at)))
	}
	const third = 1.0 / 3600
	here := rms(0, 0)
	t.Logf("root mean square difference %.2f m in a relief of 840 m", here)
	for _, d := range [][2]float64{{third, 0}, {-third, 0}, {0, third}, {0, -third}} {
		if there := rms(d[0], d[1]); !(there > 1.2*here) {
			t.Errorf("moved by %v°: %.2f m, want clearly more than %.2f m", d, there, here)
		}
	}
}

// unzipTile writes the tile out of its archive to a folder, named as GDAL wants
// it.
func unzipTile(t *testing.T, folder, name, to string) string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(folder, name+"*.zip"))
	if err != nil || len(found) != 1 {
		t.Fatalf("%s: %v, %v", name, found, err)
	}
	z, err := zip.OpenReader(found[0])
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	for _, f := range z.File {
		if !strings.HasSuffix(strings.ToLower(f.Name), ".hgt") {
			continue
		}
		in, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		defer in.Close()
		path := filepath.Join(to, name+".hgt")
		data, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	t.Fatalf("%s: no .hgt in it", found[0])
	return ""
}
