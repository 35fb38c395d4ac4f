//go:build gdal

package gdal

import (
	"compress/gzip"
	"encoding/csv"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// demDir returns the folder of measured terrain that stays outside the
// repository, or skips the test.
func demDir(t testing.TB) string {
	t.Helper()
	dir := os.Getenv("POLEREACH_DEM_DIR")
	if dir == "" {
		t.Skip("set POLEREACH_DEM_DIR to the folder that holds reference_points.csv and its rasters")
	}
	return dir
}

// mustOpen opens a raster that is closed when the test ends.
func mustOpen(t testing.TB, path string) *Raster {
	t.Helper()
	r, err := Open(path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

// heightAt asks a DEM for one place.
func heightAt(t testing.TB, d terrain.DEM, at orb.Point) (float64, terrain.Flag) {
	t.Helper()
	var (
		h    [1]float64
		flag [1]terrain.Flag
	)
	if err := d.Heights([]orb.Point{at}, h[:], flag[:]); err != nil {
		t.Fatal(err)
	}
	return h[0], flag[0]
}

// referencePoint is one row of reference_points.csv: bilinear heights computed
// with numpy, inner ones confirmed with GDAL's bilinear warp (SOURCES.md beside
// the file).
type referencePoint struct {
	at     orb.Point
	wantM  float64
	isVoid bool
}

func referencePoints(t *testing.T, set string) []referencePoint {
	t.Helper()
	var out []referencePoint
	for _, r := range csvRows(t, "reference_points.csv") { // dataset,x,y,lon_deg,lat_deg,nearest_m,bilinear_m
		if r[0] != set {
			continue
		}
		p := referencePoint{at: orb.Point{number(t, r[3]), number(t, r[4])}, isVoid: r[6] == ""}
		if !p.isVoid {
			p.wantM = number(t, r[6])
		}
		out = append(out, p)
	}
	return out
}

func csvRows(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join(demDir(t), name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func checkPoints(t *testing.T, d terrain.DEM, rows []referencePoint, tolM float64, wantUnknown int) {
	t.Helper()
	worst, unknown := 0.0, 0
	for _, row := range rows {
		h, flag := heightAt(t, d, row.at)
		if row.isVoid {
			unknown++
			if flag.Known() || h != 0 {
				t.Errorf("%v: %g m, %v; want no height", row.at, h, flag)
			}
			continue
		}
		if flag != terrain.Ground || !(math.Abs(h-row.wantM) <= tolM) {
			t.Errorf("%v: %.4f m, %v; want %.4f m", row.at, h, flag, row.wantM)
		}
		worst = max(worst, math.Abs(h-row.wantM))
	}
	if unknown != wantUnknown {
		t.Errorf("%d rows without a height, want %d", unknown, wantUnknown)
	}
	t.Logf("largest difference %.6f m over %d rows, %d of them without a height", worst, len(rows), unknown)
}

func TestReferencePoints(t *testing.T) {
	dir := demDir(t)
	for _, set := range []struct {
		name          string
		rows, unknown int // counted in the file and typed in, so that a lost row shows
		tolM          float64
	}{
		{"derived/fichtel_ll_int16_deflate.tif", 36, 0, 0.01},
		{"derived/variants/int16_with_voids.tif", 44, 13, 0.01},
		{"dted/n43.dt0", 36, 0, 0.01},
		{"derived/fichtel_utm32_float32_tiled.tif", 44, 14, 0.02},
		{"derived/fichtel_utm32_float32.asc", 36, 0, 0.02},
		{"geotiff/maungawhau_lidar5m_nztm_float32.tif", 36, 0, 0.02},
	} {
		t.Run(set.name, func(t *testing.T) {
			rows := referencePoints(t, set.name)
			if len(rows) != set.rows {
				t.Fatalf("%d rows, want %d", len(rows), set.rows)
			}
			checkPoints(t, mustOpen(t, filepath.Join(dir, set.name)), rows, set.tolM, set.unknown)
		})
	}
}

// The 12 encodings hold one window of N49E011 and N50E011 as the same heights
// (SOURCES.md). What the built-in reader finds in the original tiles is the
// second derivation: every encoding must give the same bits.
func TestVariantsEqualTheOriginalTiles(t *testing.T) {
	dir := demDir(t)
	files, err := filepath.Glob(filepath.Join(dir, "derived/variants/*.tif"))
	if err != nil {
		t.Fatal(err)
	}
	files = slices.DeleteFunc(files, func(f string) bool { return strings.Contains(f, "with_voids") })
	if len(files) != 12 {
		t.Fatalf("%d variants, want 12", len(files))
	}
	tiles := builtIn(t, filepath.Join(dir, "srtm3"))
	at := placesIn(orb.Bound{Min: orb.Point{11.8084, 50.0325}, Max: orb.Point{11.8874, 50.0916}}, 2000)
	want, wantFlag := make([]float64, len(at)), make([]terrain.Flag, len(at))
	if err := tiles.Heights(at, want, wantFlag); err != nil {
		t.Fatal(err)
	}
	for _, path := range files {
		t.Run(filepath.Base(path), func(t *testing.T) {
			sameBits(t, mustOpen(t, path), at, want, wantFlag)
		})
	}
}

// n38w029.dt1.gz was made of the tile N38W029 and equals it everywhere
// (SOURCES.md), so the rows of the tile hold for it.
func TestDTEDLevel1(t *testing.T) {
	dir := demDir(t)
	path := filepath.Join(t.TempDir(), "n38w029.dt1")
	gunzip(t, filepath.Join(dir, "derived/n38w029.dt1.gz"), path)
	r := mustOpen(t, path)
	rows := referencePoints(t, "srtm3/N38W029")
	if len(rows) != 36 {
		t.Fatalf("%d rows, want 36", len(rows))
	}
	checkPoints(t, r, rows, 0.01, 0)
	at := placesIn(orb.Bound{Min: orb.Point{-29, 38}, Max: orb.Point{-28, 39}}, 5000)
	want, wantFlag := make([]float64, len(at)), make([]terrain.Flag, len(at))
	if err := builtIn(t, filepath.Join(dir, "srtm3")).Heights(at, want, wantFlag); err != nil {
		t.Fatal(err)
	}
	sameBits(t, r, at, want, wantFlag)
}

// The profiles cross the seams at 50° N and 28° W. GDAL reads the four tiles it
// needs out of the archives' contents, joined.
func TestReferenceProfiles(t *testing.T) {
	dir := demDir(t)
	tmp := t.TempDir()
	var rasters []*Raster
	for _, name := range []string{"N49E011", "N50E011", "N38W028", "N38W029"} {
		rasters = append(rasters, mustOpen(t, unzipTile(t, filepath.Join(dir, "srtm3"), name, tmp)))
	}
	joined := Join(rasters...)
	if g, one := joined.(*group); !one || len(g.tiles) != 4 {
		t.Errorf("the four tiles are %T, want one group", joined)
	}
	counts := map[string]int{}
	worst := 0.0
	for _, r := range csvRows(t, "reference_profiles.csv") { // profile,index,distance_m,lat_deg,lon_deg,bilinear_m
		at, want := orb.Point{number(t, r[4]), number(t, r[3])}, number(t, r[5])
		h, flag := heightAt(t, joined, at)
		if flag != terrain.Ground || !(math.Abs(h-want) <= 0.01) {
			t.Errorf("%s %s: %.4f m, %v; want %.4f m", r[0], r[1], h, flag, want)
		}
		worst = max(worst, math.Abs(h-want))
		counts[r[0]]++
	}
	if counts["fichtel_seam_50N"] != 401 || counts["azores_seam_28W"] != 401 {
		t.Errorf("rows %v, want 401 each", counts)
	}
	t.Logf("largest difference %.6f m", worst)
	// The GeoTIFF cut from across the seam at 50° N holds a part of the profile.
	ll := mustOpen(t, filepath.Join(dir, "derived/fichtel_ll_int16_deflate.tif"))
	inside := 0
	for _, r := range csvRows(t, "reference_profiles.csv") {
		at, want := orb.Point{number(t, r[4]), number(t, r[3])}, number(t, r[5])
		if !ll.Extent().Bound.Contains(at) {
			continue
		}
		inside++
		if h, flag := heightAt(t, ll, at); flag != terrain.Ground || !(math.Abs(h-want) <= 0.01) {
			t.Errorf("GeoTIFF, %s %s: %.4f m, %v; want %.4f m", r[0], r[1], h, flag, want)
		}
	}
	if inside < 100 {
		t.Errorf("%d rows of the profiles lie in the GeoTIFF, want 100 or more", inside)
	}
}

// builtIn opens a folder with the readers of package terrain.
func builtIn(t testing.TB, folder string) terrain.DEM {
	t.Helper()
	sources, err := terrain.OpenSources(os.DirFS(folder), ".")
	if err != nil {
		t.Fatal(err)
	}
	tiles, err := terrain.NewTiles(sources, terrain.TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tiles
}

func gunzip(t *testing.T, from, to string) {
	t.Helper()
	in, err := os.Open(from)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	z, err := gzip.NewReader(in)
	if err != nil {
		t.Fatal(err)
	}
	data, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(to, data, 0o644); err != nil {
		t.Fatal(err)
	}
}
