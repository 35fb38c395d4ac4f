//go:build gdal

package gdal

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"

	binding "github.com/lukeroth/gdal"
	"github.com/polereach/polereach/terrain"
)

// stored is a raster with one number everywhere.
func stored(v float64) sample {
	return sample{cols: 3, rows: 3, crs: "EPSG:4326", transform: lonLat(10, 50, 0.1),
		value: func(int, int) float64 { return v }}
}

var inTheMiddle = orb.Point{10.1, 49.9}

func TestUnitScaleOffset(t *testing.T) {
	const usFoot = 1200.0 / 3937 // Mendenhall order, Federal Register 24 FR 5348
	for name, tc := range map[string]struct {
		change func(*sample)
		unit   string
		wantM  float64 // by hand, of 1000 stored
	}{
		"plain":         {func(*sample) {}, "metre", 1000},
		"metres told":   {func(s *sample) { s.unit = "m" }, "metre", 1000},
		"feet":          {func(s *sample) { s.unit = "ft" }, "foot", 304.8},
		"feet in words": {func(s *sample) { s.unit = "International Foot" }, "foot", 304.8},
		"survey feet":   {func(s *sample) { s.unit = "US survey foot" }, "US survey foot", 1000 * usFoot},
		"survey, short": {func(s *sample) { s.unit = "us-ft" }, "US survey foot", 1000 * usFoot},
		"centimetres":   {func(s *sample) { s.unit = "cm" }, "centimetre", 10},
		"scale":         {func(s *sample) { s.scale, s.offset = 0.1, 0 }, "metre", 100},
		"scale, offset": {func(s *sample) { s.scale, s.offset = 0.5, -200 }, "metre", 300},
		"all of them":   {func(s *sample) { s.scale, s.offset, s.unit = 0.5, -200, "ft" }, "foot", 300 * 0.3048},
		"as whole":      {func(s *sample) { s.kind, s.unit = binding.Int16, "ft" }, "foot", 304.8},
		"vertical datum": {func(s *sample) { s.crs = "EPSG:4326+5773" }, "metre",
			1000}, // EGM96 height, metres
		"NAVD88 feet": {func(s *sample) { s.crs = "EPSG:4326+8228" }, "foot",
			304.8}, // NAVD88 height (ft)
		"NAVD88 survey": {func(s *sample) { s.crs = "EPSG:4326+6360" }, "US survey foot",
			1000 * usFoot}, // NAVD88 height (ftUS)
		"band wins": {func(s *sample) { s.crs, s.unit = "EPSG:4326+6360", "m" }, "metre", 1000},
	} {
		t.Run(name, func(t *testing.T) {
			s := stored(1000)
			tc.change(&s)
			r := mustOpen(t, s.make(t, "t.tif"))
			closeTo(t, r, inTheMiddle, tc.wantM, 1e-4) // single precision
			if u := r.Info().VerticalUnit; u != tc.unit {
				t.Errorf("unit %q, want %q", u, tc.unit)
			}
		})
	}
}

func TestVerticalSystemIsNamed(t *testing.T) {
	s := stored(100)
	s.crs = "EPSG:32632+5773"
	s.transform = [6]float64{600000, 30, 0, 5500000, 0, -30}
	i := mustOpen(t, s.make(t, "t.tif")).Info()
	if i.CRS != "WGS 84 / UTM zone 32N" || i.VerticalCRS != "EGM96 height" {
		t.Errorf("systems %q and %q", i.CRS, i.VerticalCRS)
	}
}

func TestVoids(t *testing.T) {
	nan, zero, odd := math.NaN(), 0.0, -99.99
	lone := func(v float64) func(int, int) float64 { // v in the middle of 200
		return func(c, r int) float64 {
			if c == 1 && r == 1 {
				return v
			}
			return 200
		}
	}
	for name, tc := range map[string]struct {
		change      func(*sample)
		implausible int64
	}{
		"no-data":               {func(s *sample) { s.noData, s.value = &odd, lone(odd) }, 0}, // not exact as float32
		"no-data of 0":          {func(s *sample) { s.noData, s.value = &zero, lone(0) }, 0},
		"no-data of 0, Int16":   {func(s *sample) { s.kind, s.noData, s.value = binding.Int16, &zero, lone(0) }, 0},
		"no-data is NaN":        {func(s *sample) { s.noData, s.value = &nan, lone(nan) }, 0},
		"NaN untold":            {func(s *sample) { s.value = lone(nan) }, 0},
		"mask":                  {func(s *sample) { s.mask = func(c, r int) bool { return c != 1 || r != 1 } }, 0},
		"too deep":              {func(s *sample) { s.value = lone(-500.5) }, 1},
		"too high":              {func(s *sample) { s.value = lone(9000.5) }, 1},
		"infinite":              {func(s *sample) { s.value = lone(math.Inf(1)) }, 1},
		"untold -32768":         {func(s *sample) { s.kind, s.value = binding.Int16, lone(-32768) }, 1},
		"too high once scaled":  {func(s *sample) { s.scale, s.offset, s.value = 10, 0, lone(950) }, 1},
		"too deep in feet only": {func(s *sample) { s.unit, s.value = "ft", lone(-1700) }, 1},
	} {
		t.Run(name, func(t *testing.T) {
			s := stored(200)
			tc.change(&s)
			r := mustOpen(t, s.make(t, "t.tif"))
			unknownAt(t, r, inTheMiddle, terrain.Void)
			unknownAt(t, r, orb.Point{10.04, 49.96}, terrain.Void) // a cell beside it
			if h, flag := heightAt(t, r, orb.Point{10, 50}); flag != terrain.Ground || !(h > 0) {
				t.Errorf("the corner: %g m, %v", h, flag)
			}
			// Between two other posts, the void has no weight.
			if h, flag := heightAt(t, r, orb.Point{10.05, 50}); flag != terrain.Ground || !(h > 0) {
				t.Errorf("the edge: %g m, %v", h, flag)
			}
			c, err := r.Count(context.Background())
			if err != nil || c.Posts != 9 || c.Voids != 1 || c.Implausible != tc.implausible {
				t.Errorf("counts %+v, %v; want 9 posts, 1 void, %d implausible", c, err, tc.implausible)
			}
		})
	}
	// In feet, -1600 is ground: -487.68 m.
	s := stored(-1600)
	s.unit = "ft"
	closeTo(t, mustOpen(t, s.make(t, "deep.tif")), inTheMiddle, -487.68, 1e-4)
}

func TestCount(t *testing.T) {
	// 300 × 70 posts of 0 to 299 m, the last column void: several blocks.
	s := sample{cols: 300, rows: 70, crs: "EPSG:4326", transform: lonLat(10, 50, 0.001),
		value: func(c, _ int) float64 {
			if c == 299 {
				return math.NaN()
			}
			return float64(c)
		}, options: []string{"TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=32"}}
	r := mustOpen(t, s.make(t, "t.tif"))
	c, err := r.Count(context.Background())
	if want := (Counts{LowestM: 0, HighestM: 298, Posts: 21000, Looked: 21000, Voids: 70}); err != nil || c != want {
		t.Errorf("%+v, %v; want %+v", c, err, want)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := r.Count(ctx); err != context.Canceled {
		t.Errorf("error %v after the context ended", err)
	}
	empty := mustOpen(t, stored(math.NaN()).make(t, "void.tif"))
	if c, err := empty.Count(context.Background()); err != nil || c.Voids != 9 || c.LowestM != 0 || c.HighestM != 0 {
		t.Errorf("nothing but voids: %+v, %v", c, err)
	}
}

func TestBandChosenByDescription(t *testing.T) {
	// NetCDF keeps names of bands; band 2 holds the heights.
	s := stored(0)
	s.bands, s.notes = 2, map[string]string{"made": "by a test"}
	path := s.make(t, "t.tif")
	vrt := writeFile(t, "t.vrt", []byte(`<VRTDataset rasterXSize="3" rasterYSize="3">
<SRS>EPSG:4326</SRS><GeoTransform>9.95, 0.1, 0, 50.05, 0, -0.1</GeoTransform>
<VRTRasterBand dataType="Float32" band="1"><Description>uncertainty</Description></VRTRasterBand>
<VRTRasterBand dataType="Float32" band="2"><Description>Elevation</Description>
<ComplexSource><SourceFilename>`+path+`</SourceFilename><SourceBand>2</SourceBand><ScaleOffset>77</ScaleOffset><ScaleRatio>1</ScaleRatio></ComplexSource>
</VRTRasterBand></VRTDataset>`))
	closeTo(t, mustOpen(t, vrt), inTheMiddle, 77, 0)
}

func TestSurfaceHint(t *testing.T) {
	for note, want := range map[string]string{
		"Copernicus DSM 30 m":             "surface",
		"digital_surface_model":           "surface",
		"DTM, bare-earth":                 "bare earth",
		"Digital Terrain Model":           "bare earth",
		"DTM and DSM in one":              "",
		"elevation":                       "",
		"surfaces of terrain, admittedly": "",
	} {
		s := stored(1)
		s.notes = map[string]string{"TIFFTAG_IMAGEDESCRIPTION": note}
		if got := mustOpen(t, s.make(t, "t.tif")).Info().Surface; got != want {
			t.Errorf("%q: %q, want %q", note, got, want)
		}
	}
}
