package terrain

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// demDir returns the folder of measured terrain that stays outside the
// repository, or skips the test.
func demDir(t testing.TB) fs.FS {
	t.Helper()
	dir := os.Getenv("POLEREACH_DEM_DIR")
	if dir == "" {
		t.Skip("set POLEREACH_DEM_DIR to the folder that holds reference_points.csv and its tiles")
	}
	return os.DirFS(dir)
}

// referencePoint is one row of reference_points.csv.
type referencePoint struct {
	at        orb.Point
	bilinearM float64
	known     bool
}

// referencePoints reads the rows of each data set. Their heights were computed
// with numpy, inner ones confirmed with GDAL's bilinear warp (SOURCES.md beside
// the file).
func referencePoints(t *testing.T, fsys fs.FS) map[string][]referencePoint {
	t.Helper()
	f, err := fsys.Open("reference_points.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	points := map[string][]referencePoint{}
	for _, r := range rows[1:] { // dataset,x,y,lon_deg,lat_deg,nearest_m,bilinear_m
		p := referencePoint{at: orb.Point{number(r[3]), number(r[4])}, known: r[6] != ""}
		if p.known {
			p.bilinearM = number(r[6])
		}
		points[r[0]] = append(points[r[0]], p)
	}
	return points
}

func TestReferencePoints(t *testing.T) {
	fsys := demDir(t)
	points := referencePoints(t, fsys)
	for _, set := range []struct {
		name, file string
		rows       int // typed in, so that a lost row shows
		unknown    int
		why        Flag // of the rows without a height
	}{
		{"srtm3/N38W028", "srtm3/N38W028.SRTMGL3.hgt.zip", 36, 0, Void},
		{"srtm3/N38W029", "srtm3/N38W029.SRTMGL3.hgt.zip", 36, 0, Void},
		// Places beside the 20 and 8 void posts GDAL counts in these tiles.
		{"srtm3/N49E011", "srtm3/N49E011.hgt.zip", 44, 8, Void},
		{"srtm3/N50E011", "srtm3/N50E011.hgt.zip", 44, 5, Void},
		// Posts on the south and east edge: nine decimals in the row put them
		// 4.8e-7 steps beyond what the header says.
		{"asc/colorado_srtmgl3_a.asc", "asc/colorado_srtmgl3_a.asc", 36, 4, Outside},
	} {
		t.Run(set.name, func(t *testing.T) {
			rows := points[set.name]
			if len(rows) != set.rows {
				t.Fatalf("%d rows, want %d", len(rows), set.rows)
			}
			g := mustLoad(t, fsys, set.file)
			worst, unknown := 0.0, 0
			for _, row := range rows {
				h, flag := heightAt(t, g, row.at)
				if !row.known {
					unknown++
					if flag != set.why || h != 0 {
						t.Errorf("%v: %g m, %v; want %v", row.at, h, flag, set.why)
					}
					continue
				}
				if flag != Ground || !(math.Abs(h-row.bilinearM) <= 0.01) {
					t.Errorf("%v: %.4f m, %v; want %.4f m", row.at, h, flag, row.bilinearM)
				}
				worst = max(worst, math.Abs(h-row.bilinearM))
			}
			if unknown != set.unknown {
				t.Errorf("%d rows without a height, want %d", unknown, set.unknown)
			}
			t.Logf("largest difference %.6f m over %d rows", worst, len(rows))
		})
	}
}

func TestReferenceProjectedGridIsRefused(t *testing.T) {
	fsys := demDir(t)
	_, err := OpenSources(fsys, "derived/fichtel_utm32_float32.asc")
	if !errors.Is(err, ErrNotBuiltIn) {
		t.Fatalf("error %v, want ErrNotBuiltIn", err)
	}
	for _, word := range []string{"fichtel_utm32_float32.asc", "WGS_1984_UTM_Zone_32N", "-tags gdal"} {
		if !strings.Contains(err.Error(), word) {
			t.Errorf("error %q does not mention %q", err, word)
		}
	}
}

// The seams as SOURCES.md lists them: neighbours carry the same posts along
// their common edge.
func TestReferenceSeams(t *testing.T) {
	fsys := demDir(t)
	south, north := mustLoad(t, fsys, "srtm3/N49E011.hgt.zip"), mustLoad(t, fsys, "srtm3/N50E011.hgt.zip")
	for col := range postsSRTM3 {
		if a, b := south.HeightM[col], north.HeightM[1200*postsSRTM3+col]; a != b {
			t.Fatalf("column %d on 50° N: %g m and %g m", col, a, b)
		}
	}
	west, east := mustLoad(t, fsys, "srtm3/N38W029.SRTMGL3.hgt.zip"), mustLoad(t, fsys, "srtm3/N38W028.SRTMGL3.hgt.zip")
	land := 0
	for row := range postsSRTM3 {
		a, b := west.HeightM[row*postsSRTM3+1200], east.HeightM[row*postsSRTM3]
		if a != b {
			t.Fatalf("row %d on 28° W: %g m and %g m", row, a, b)
		}
		if a != 0 {
			land++
		}
	}
	if land != 75 {
		t.Errorf("%d posts off 0 m on 28° W, want 75", land)
	}
}

// The height ranges and void counts of SOURCES.md, found there with GDAL 3.6.2.
func TestReferenceRanges(t *testing.T) {
	fsys := demDir(t)
	for _, tc := range []struct {
		file      string
		low, high float32
		voids     int
	}{
		{"srtm3/N38W028.SRTMGL3.hgt.zip", -8, 1024, 0},
		{"srtm3/N38W029.SRTMGL3.hgt.zip", -4, 2304, 0},
		{"srtm3/N39W028.SRTMGL3.hgt.zip", -1, 393, 0},
		{"srtm3/N39W029.SRTMGL3.hgt.zip", -6, 381, 0},
		{"srtm3/N49E011.hgt.zip", 234, 920, 20},
		{"srtm3/N50E011.hgt.zip", 129, 1044, 8},
		{"asc/colorado_srtmgl3_a.asc", 2186, 3345, 0},
		{"asc/colorado_srtmgl3_b.asc", 1943, 3286, 0},
	} {
		low, high, voids := rangeOf(mustLoad(t, fsys, tc.file))
		if low != tc.low || high != tc.high || voids != tc.voids {
			t.Errorf("%s: %g..%g m, %d voids; want %g..%g m, %d", tc.file, low, high, voids, tc.low, tc.high, tc.voids)
		}
	}
}

// mustLoad loads the one tile behind a name.
func mustLoad(t testing.TB, fsys fs.FS, name string) *Grid {
	t.Helper()
	sources, err := OpenSources(fsys, name)
	if err != nil {
		t.Fatal(err)
	}
	if len(sources) != 1 {
		t.Fatalf("%s: %d sources, want 1", name, len(sources))
	}
	g, err := sources[0].Load()
	if err != nil {
		t.Fatal(err)
	}
	if g.Lattice != sources[0].Lattice {
		t.Fatalf("%s: loaded %+v, promised %+v", name, g.Lattice, sources[0].Lattice)
	}
	if err := g.Check(); err != nil {
		t.Fatal(err)
	}
	return g
}

// heightAt asks a DEM for one place.
func heightAt(t testing.TB, d DEM, at orb.Point) (float64, Flag) {
	t.Helper()
	var (
		h    [1]float64
		flag [1]Flag
	)
	if err := d.Heights([]orb.Point{at}, h[:], flag[:]); err != nil {
		t.Fatal(err)
	}
	return h[0], flag[0]
}

// rangeOf returns the lowest and highest post and the number of voids.
func rangeOf(g *Grid) (low, high float32, voids int) {
	low, high = highestGroundM, lowestGroundM
	for _, h := range g.HeightM {
		if IsVoid(h) {
			voids++
			continue
		}
		low, high = min(low, h), max(high, h)
	}
	return low, high, voids
}
