//go:build gdal

package gdal

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	binding "github.com/lukeroth/gdal"
)

// Formats that nothing is promised of are read on request alone, also behind a VRT; each
// of Formats that can be written here is read.
func TestFormatsThatNothingIsPromisedOf(t *testing.T) {
	dir := t.TempDir()
	for driver, name := range map[string]string{"ENVI": "a.bin", "EHdr": "a.flt", "PCRaster": "a.map", "HFA": "a.img"} {
		s := sample{driver: driver, cols: 4, rows: 4, crs: "EPSG:4326", transform: lonLat(10, 50, 0.1),
			value: func(int, int) float64 { return 7 }}
		if driver == "PCRaster" {
			s.notes, s.options = nil, []string{"PCRASTER_VALUESCALE=VS_SCALAR"}
		}
		path := s.write(t, filepath.Join(dir, driver+name))
		_, err := Open(path, Options{})
		if !errors.Is(err, ErrFormat) || !strings.Contains(err.Error(), driver) {
			t.Errorf("%s: %v, want it refused by name", driver, err)
		}
		r, err := Open(path, Options{AnyFormat: true})
		if err != nil {
			t.Errorf("%s on request: %v", driver, err)
			continue
		}
		if got := r.Info().Driver; got != driver {
			t.Errorf("%s is told as %s", driver, got)
		}
		r.Close()
		vrt := filepath.Join(dir, driver+".vrt")
		if err := os.WriteFile(vrt, []byte(vrtOver(path)), 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := Open(vrt, Options{}); !errors.Is(err, ErrFormat) {
			t.Errorf("%s behind a VRT: %v", driver, err)
		}
	}
	for driver, name := range map[string]string{"GTiff": "a.tif"} {
		s := sample{driver: driver, cols: 4, rows: 4, kind: binding.Int16, crs: "EPSG:4326", transform: lonLat(10, 50, 0.1)}
		mustOpen(t, s.write(t, filepath.Join(dir, name)))
	}
}

// A raw band takes any file for heights, a private key for one.
func TestRawBandsAreRefused(t *testing.T) {
	dir := t.TempDir()
	secret := filepath.Join(dir, "secret")
	if err := os.WriteFile(secret, []byte(strings.Repeat("secret", 100)), 0o600); err != nil {
		t.Fatal(err)
	}
	vrt := filepath.Join(dir, "a.vrt")
	text := `<VRTDataset rasterXSize="3" rasterYSize="3"><SRS>EPSG:4326</SRS><GeoTransform>9.95, 0.1, 0, 50.05, 0, -0.1</GeoTransform>` +
		`<VRTRasterBand dataType="Int16" band="1" subClass="VRTRawRasterBand"><SourceFilename relativeToVRT="1">secret</SourceFilename>` +
		`<ImageOffset>0</ImageOffset><PixelOffset>2</PixelOffset><LineOffset>6</LineOffset></VRTRasterBand></VRTDataset>`
	if err := os.WriteFile(vrt, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	refusedBy(t, vrt, "raw band")
}
