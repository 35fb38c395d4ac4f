//go:build gdal

package gdal

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	binding "github.com/lukeroth/gdal"
	"github.com/polereach/polereach/terrain"
)

// sample describes a raster a test makes. The zero value of a field leaves
// GDAL's default.
type sample struct {
	driver        string // GTiff
	cols, rows    int
	bands         int // 1
	kind          binding.DataType
	crs           string // anything GDAL takes for a name
	transform     [6]float64
	value         func(col, row int) float64
	noData        *float64
	unit          string
	scale, offset float64
	mask          func(col, row int) bool // true: a height
	colours       []binding.ColorInterp
	notes         map[string]string
	options       []string
}

// make writes the raster to a file of the given name in a folder of the test.
func (s sample) make(t testing.TB, name string) string {
	t.Helper()
	return s.write(t, filepath.Join(t.TempDir(), name))
}

func (s sample) write(t testing.TB, path string) string {
	t.Helper()
	if s.driver == "" {
		s.driver = "GTiff"
	}
	if s.kind == binding.Unknown {
		s.kind = binding.Float32
	}
	if s.bands == 0 {
		s.bands = 1
	}
	wkt := ""
	if s.crs != "" {
		wkt = wktOf(t, s.crs)
	}
	var errs []error
	text := call(false, func() {
		binding.CPLSetConfigOption("GDAL_TIFF_INTERNAL_MASK", "YES")
		d, err := binding.GetDriverByName(s.driver)
		if err != nil {
			errs = append(errs, err)
			return
		}
		ds := d.Create(path, s.cols, s.rows, s.bands, s.kind, s.options)
		if ds == (binding.Dataset{}) {
			return
		}
		defer ds.Close()
		if s.transform != ([6]float64{}) {
			errs = append(errs, ds.SetGeoTransform(s.transform))
		}
		if wkt != "" {
			errs = append(errs, ds.SetProjection(wkt))
		}
		for k, v := range s.notes {
			errs = append(errs, ds.SetMetadataItem(k, v, ""))
		}
		for n := 1; n <= s.bands; n++ {
			errs = append(errs, s.band(ds.RasterBand(n), n))
		}
	})
	if text != nil {
		t.Fatalf("%s: %v", path, text)
	}
	for _, err := range errs {
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
	}
	return path
}

func (s sample) band(b binding.RasterBand, n int) error {
	if len(s.colours) >= n {
		if s.colours[n-1] == binding.CI_PaletteIndex {
			ct := binding.CreateColorTable(binding.PI_RGB)
			ct.SetEntry(0, binding.ColorEntry{})
			if err := b.SetColorTable(ct); err != nil {
				return err
			}
		} else if err := b.SetColorInterp(s.colours[n-1]); err != nil {
			return err
		}
	}
	if s.noData != nil {
		if err := b.SetNoDataValue(*s.noData); err != nil {
			return err
		}
	}
	if s.unit != "" {
		if err := b.SetUnitType(s.unit); err != nil {
			return err
		}
	}
	if s.scale != 0 {
		if err := b.SetScale(s.scale); err != nil {
			return err
		}
		if err := b.SetOffset(s.offset); err != nil {
			return err
		}
	}
	if s.value != nil {
		raw := make([]float64, s.cols*s.rows)
		for i := range raw {
			raw[i] = s.value(i%s.cols, i/s.cols)
		}
		if err := b.IO(binding.Write, 0, 0, s.cols, s.rows, raw, s.cols, s.rows, 0, 0); err != nil {
			return err
		}
	}
	if s.mask != nil {
		if err := b.CreateMaskBand(binding.GMF_PER_DATASET); err != nil {
			return err
		}
		raw := make([]uint8, s.cols*s.rows)
		for i := range raw {
			if s.mask(i%s.cols, i/s.cols) {
				raw[i] = 255
			}
		}
		return b.GetMaskBand().IO(binding.Write, 0, 0, s.cols, s.rows, raw, s.cols, s.rows, 0, 0)
	}
	return nil
}

// wktOf spells a coordinate system out, vertical part included.
func wktOf(t testing.TB, name string) string {
	t.Helper()
	wkt := ""
	text := call(false, func() {
		sr := binding.CreateSpatialReference("")
		defer sr.Destroy()
		if err := sr.SetFromUserInput(name); err == nil {
			wkt, _ = sr.ToWKT()
		}
	})
	if wkt == "" {
		t.Fatalf("%s: %v", name, text)
	}
	return wkt
}

// lonLat returns the geotransform of a raster in degrees whose first post lies
// at the given place.
func lonLat(west, north, step float64) [6]float64 {
	return [6]float64{west - step/2, step, 0, north + step/2, 0, -step}
}

// closeTo checks one height.
func closeTo(t *testing.T, d terrain.DEM, at orb.Point, wantM, tolM float64) {
	t.Helper()
	if h, flag := heightAt(t, d, at); flag != terrain.Ground || !(math.Abs(h-wantM) <= tolM) {
		t.Errorf("%v: %.6f m, %v; want %.6f m", at, h, flag, wantM)
	}
}

// unknownAt checks that a place has no height, for the given reason.
func unknownAt(t *testing.T, d terrain.DEM, at orb.Point, want terrain.Flag) {
	t.Helper()
	if h, flag := heightAt(t, d, at); flag != want || h != 0 {
		t.Errorf("%v: %g m, %v; want %v", at, h, flag, want)
	}
}

// writeFile writes a small file into a folder of the test.
func writeFile(t testing.TB, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}
