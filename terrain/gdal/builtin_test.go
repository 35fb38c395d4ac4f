//go:build gdal

package gdal

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/madetiff"
)

// builtInTIFF opens a GeoTIFF by the built-in reader; the error is ErrNotBuiltIn for another kind.
func builtInTIFF(t *testing.T, path string) (*terrain.Tiles, terrain.Source, error) {
	t.Helper()
	sources, err := terrain.OpenSources(os.DirFS(filepath.Dir(path)), filepath.Base(path))
	if err != nil {
		return nil, terrain.Source{}, err
	}
	tiles, err := terrain.NewTiles(sources, terrain.TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tiles, sources[0], nil
}

// sameAsGDAL compares the built-in reader with GDAL at every post and at random places.
func sameAsGDAL(t *testing.T, path string) {
	t.Helper()
	own, source, err := builtInTIFF(t, path)
	if err != nil {
		t.Errorf("%s: %v", path, err)
		return
	}
	r := mustOpen(t, path)
	l := source.Lattice
	if info := r.Info(); info.Cols != l.Cols || info.Rows != l.Rows || !info.Degrees || info.CRS != source.CRS ||
		info.VerticalCRS != source.VerticalCRS || source.Format != "GeoTIFF, "+info.DataType ||
		info.Surface != source.Surface {
		t.Errorf("%s: GDAL says %+v, the built-in reader %+v", path, info, source)
	}
	var at []orb.Point
	for row := range l.Rows {
		for col := range l.Cols {
			at = append(at, l.Post(col, row))
		}
	}
	rng, b := rand.New(rand.NewPCG(42, 113)), l.Extent().Bound.Pad(l.StepLatDeg)
	for range 5000 {
		at = append(at, orb.Point{b.Min[0] + rng.Float64()*(b.Max[0]-b.Min[0]), b.Min[1] + rng.Float64()*(b.Max[1]-b.Min[1])})
	}
	got, gotFlag := make([]float64, len(at)), make([]terrain.Flag, len(at))
	want, wantFlag := make([]float64, len(at)), make([]terrain.Flag, len(at))
	if err := errors.Join(own.Heights(at, got, gotFlag), r.Heights(at, want, wantFlag)); err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	bad, worst, known := 0, 0.0, 0
	for i := range at {
		if wantFlag[i].Known() {
			known++
		}
		worst = max(worst, math.Abs(got[i]-want[i]))
		if gotFlag[i] != wantFlag[i] || !(math.Abs(got[i]-want[i]) <= 0.00005) {
			if bad++; bad < 4 {
				t.Errorf("%s: %.9f: %v m, %v; GDAL says %v m, %v", path, at[i], got[i], gotFlag[i], want[i], wantFlag[i])
			}
		}
	}
	t.Logf("%s: worst difference %.7f m at %d posts and places, %d known", filepath.Base(path), worst, len(at), known)
	if known == 0 {
		t.Errorf("%s: no height among them: nothing compared", path)
	}
}

// Every GeoTIFF at hand that the built-in reader takes, and that it takes those in degrees.
func TestBuiltInReaderAgainstGDAL(t *testing.T) {
	taken, others := 0, 0
	err := filepath.WalkDir(demDir(t), func(path string, _ fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".tif" {
			return err
		}
		if _, _, err := builtInTIFF(t, path); errors.Is(err, terrain.ErrNotBuiltIn) {
			others++
			if r := mustOpen(t, path); r.Info().Degrees && !strings.Contains(path, "zstd") {
				t.Errorf("%s lies in degrees: %v", path, err)
			}
			return nil
		}
		taken++
		sameAsGDAL(t, path)
		return nil
	})
	if err != nil || taken != 14 || others != 5 {
		t.Errorf("%d taken, %d not, want 14 and 5, %v", taken, others, err)
	}
}

// What GDAL's own writer makes of a raster in its many ways.
func TestBuiltInReaderOfWhatGDALWrites(t *testing.T) {
	if _, err := exec.LookPath("gdal_translate"); err != nil {
		t.Skip("no gdal_translate: apt-get install gdal-bin")
	}
	dir, n := t.TempDir(), 0
	translate := func(options ...string) {
		n++
		path := filepath.Join(dir, fmt.Sprintf("%03d.tif", n))
		args := append(append([]string{"-q", "-srcwin", "100", "90", "150", "131"}, options...), cumberland+"cumberland_ll_int16.tif", path)
		if out, err := exec.Command("gdal_translate", args...).CombinedOutput(); err != nil {
			t.Fatalf("%q: %v: %s", args, err, out)
		}
		sameAsGDAL(t, path)
		if t.Failed() {
			t.Fatalf("%q", args)
		}
	}
	for _, kind := range []string{"Int16", "UInt16", "Int32", "UInt32", "Float32", "Float64"} {
		for _, packed := range [][]string{
			{}, {"COMPRESS=LZW"}, {"COMPRESS=LZW", "PREDICTOR=2"}, {"COMPRESS=DEFLATE"}, {"COMPRESS=DEFLATE", "PREDICTOR=2"},
			{"COMPRESS=DEFLATE", "PREDICTOR=3"}, {"COMPRESS=LZW", "PREDICTOR=3"}, {"COMPRESS=PACKBITS"},
		} {
			if strings.Contains(fmt.Sprint(packed), "PREDICTOR=3") && !strings.HasPrefix(kind, "Float") {
				continue
			}
			for k, shape := range [][]string{{}, {"ENDIANNESS=BIG", "BLOCKYSIZE=7"},
				{"TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=48"}, {"TILED=YES", "BIGTIFF=YES", "ENDIANNESS=BIG"}} {
				options := []string{"-ot", kind}
				for _, o := range append(shape, packed...) {
					options = append(options, "-co", o)
				}
				if k%2 == 1 {
					options = append(options, "-mo", "AREA_OR_POINT=Point")
				}
				translate(options...)
			}
		}
	}
	translate("-of", "COG", "-co", "COMPRESS=DEFLATE", "-co", "BLOCKSIZE=128", "-co", "PREDICTOR=YES", "-ot", "Float32")
	translate("-of", "COG", "-co", "COMPRESS=LZW", "-co", "BLOCKSIZE=128", "-a_nodata", "300")
	translate("-co", "SPARSE_OK=TRUE", "-a_srs", "EPSG:4326+3855")
	translate("-a_srs", "EPSG:4269", "-mo", "TIFFTAG_IMAGEDESCRIPTION=bare earth model", "-a_nodata", "nan",
		"-ot", "Float32")
	translate("-tr", "0.00125", "0.00083333333333333", "-r", "bilinear", "-ot", "Float32")
	t.Logf("%d files", n)
}

// The files that tests make, over the corner where tiles of different spacing meet: GDAL reads the
// same posts.
func TestMadeFilesAgainstGDAL(t *testing.T) {
	for k, im := range []madetiff.Image{
		{Cols: 40, Rows: 30, StepLon: 1.0 / 2400, StepLat: 1.0 / 3600, Kind: "Float32", Compression: 8, Predictor: 3,
			TileCols: 16, TileRows: 16, Point: true, Overviews: 2},
		{Cols: 40, Rows: 30, StepLon: 1.0 / 3600, StepLat: 1.0 / 3600, Compression: 5, Predictor: 2, StripRows: 7,
			BigEndian: true},
		{Cols: 33, Rows: 17, StepLon: 0.01, StepLat: 0.01, Kind: "Float64", Compression: 32946, Predictor: 3, Big: true,
			NoData: "-9999", Missing: func(k int) bool { return k == 1 }, StripRows: 8},
	} {
		im.West, im.North = 11, 51
		im.Height = func(col, row int) float64 { return 100 + float64(col*col%89) + float64(row) }
		sameAsGDAL(t, writeFile(t, fmt.Sprintf("made%d.tif", k), im.Bytes()))
	}
}

// Of all numbers of systems, those that the built-in reader takes for WGS 84 are those whose places
// PROJ does not move, and the vertical ones have metres and the names that PROJ gives them.
func TestSystemsOfTheBuiltInReader(t *testing.T) {
	path := filepath.Join(t.TempDir(), "system.tif")
	try := func(horizontal, vertical uint64) bool {
		im := madetiff.Image{Cols: 8, Rows: 8, West: 11, North: 51, StepLon: 0.01, StepLat: 0.01,
			Height: func(int, int) float64 { return 5 }}
		im.Change = func(tags map[uint16]madetiff.Tag) {
			list := []uint64{1, 1, 0, 3, 1024, 0, 1, 2, 1025, 0, 1, 1, 2048, 0, 1, horizontal}
			if vertical != 0 {
				list[2], list[3] = 1, 4 // GDAL looks at vertical systems of GeoTIFF 1.1 alone
				list = append(list, 4096, 0, 1, vertical)
			}
			tags[34735] = madetiff.Tag{Kind: 3, Value: list}
		}
		if err := os.WriteFile(path, im.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		_, source, err := builtInTIFF(t, path)
		if err != nil {
			return false
		}
		r, err := Open(path, Options{})
		if err != nil {
			t.Errorf("EPSG:%d+%d: %v", horizontal, vertical, err)
			return true
		}
		defer r.Close()
		if i := r.Info(); !i.Degrees || i.CRS != source.CRS || i.VerticalCRS != source.VerticalCRS || i.UnitM != 1 {
			t.Errorf("EPSG:%d+%d: GDAL says %+v, the built-in reader %+v", horizontal, vertical, i, source)
		}
		return true
	}
	systems, verticals := 0, 0
	for code := uint64(4000); code < 5000; code++ {
		if try(code, 0) {
			systems++
		}
	}
	for code := uint64(3000); code < 9000; code++ {
		if try(4326, code) {
			verticals++
		}
	}
	t.Logf("%d systems, %d vertical ones", systems, verticals)
	if systems < 5 || verticals < 5 {
		t.Errorf("%d systems, %d vertical ones", systems, verticals)
	}
}
