//go:build gdal

package gdal

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	binding "github.com/lukeroth/gdal"
)

// refusedBy checks that a file is refused, by name and for the reasons given,
// within a few seconds.
func refusedBy(t *testing.T, path string, reasons ...string) {
	t.Helper()
	done := make(chan error, 1)
	go func() {
		r, err := Open(path, Options{})
		if err == nil {
			r.Close()
		}
		done <- err
	}()
	select {
	case err := <-done:
		if err == nil {
			t.Fatalf("%s is opened, want it refused for %q", path, reasons)
		}
		for _, w := range append(reasons, path) {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("error %q does not mention %q", err, w)
			}
		}
	case <-time.After(20 * time.Second):
		t.Fatalf("%s: no answer after 20 s", path)
	}
}

func TestRefusesWhatIsNoTerrain(t *testing.T) {
	good := sample{cols: 4, rows: 4, crs: "EPSG:4326", transform: lonLat(10, 50, 0.1)}
	for name, tc := range map[string]struct {
		change  func(*sample)
		reasons []string
	}{
		"no coordinate system": {func(s *sample) { s.crs = "" }, []string{"no coordinate system", ".prj"}},
		"no geotransform":      {func(s *sample) { s.transform = [6]float64{} }, []string{"no geotransform"}},
		"neither": {func(s *sample) { s.crs, s.transform = "", [6]float64{} },
			[]string{"no coordinate system", "no geotransform"}},
		"local system": {func(s *sample) { s.crs = `LOCAL_CS["site grid",UNIT["metre",1]]` },
			[]string{"neither geographic nor projected"}},
		"red green blue": {func(s *sample) {
			s.bands, s.kind = 3, binding.Byte
			s.colours = []binding.ColorInterp{binding.CI_RedBand, binding.CI_GreenBand, binding.CI_BlueBand}
		}, []string{"no heights", "red, green, blue"}},
		"palette": {func(s *sample) { s.kind, s.colours = binding.Byte, []binding.ColorInterp{binding.CI_PaletteIndex} },
			[]string{"no heights", "palette"}},
		"complex":         {func(s *sample) { s.kind = binding.CFloat32 }, []string{"no heights", "CFloat32"}},
		"two bands":       {func(s *sample) { s.bands = 2 }, []string{"Float32, Float32", "described as elevation"}},
		"unknown unit":    {func(s *sample) { s.unit = "kelvin" }, []string{`"kelvin"`, "feet"}},
		"beyond the pole": {func(s *sample) { s.transform = lonLat(10, 91, 0.1) }, []string{"latitudes"}},
		"round and round": {func(s *sample) { s.transform = [6]float64{0, 150, 0, 50, 0, -1} }, []string{"wide"}},
		"flat geotransform": {func(s *sample) { s.transform = [6]float64{10, 0.1, 0.1, 50, 0.1, 0.1} },
			[]string{"cannot be inverted"}},
	} {
		t.Run(name, func(t *testing.T) {
			s := good
			tc.change(&s)
			refusedBy(t, s.make(t, "t.tif"), tc.reasons...)
		})
	}
	if _, err := Open(good.make(t, "good.tif"), Options{}); err != nil {
		t.Errorf("what all of these were changed from: %v", err)
	}
}

func TestRefusesWhatIsNoRaster(t *testing.T) {
	dir := t.TempDir()
	pipe := filepath.Join(dir, "pipe.tif")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	locked := sample{cols: 2, rows: 2, crs: "EPSG:4326", transform: lonLat(10, 50, 0.1)}.make(t, "locked.tif")
	if err := os.Chmod(locked, 0); err != nil {
		t.Fatal(err)
	}
	for name, tc := range map[string]struct {
		path    string
		reasons []string
	}{
		"missing":      {filepath.Join(dir, "none.tif"), []string{"no such file"}},
		"folder":       {dir, []string{"a folder"}},
		"pipe":         {pipe, []string{"a pipe"}},
		"device":       {"/dev/zero", []string{"a device"}},
		"empty":        {writeFile(t, "empty.tif", nil), []string{"not recognized"}},
		"text":         {writeFile(t, "text.tif", []byte("Dear reader,\nno heights here.\n")), []string{"not recognized"}},
		"head only":    {writeFile(t, "head.tif", []byte("II*\x00\x08\x00\x00\x00")), nil},
		"table":        {writeFile(t, "table.csv", []byte("a,b\n1,2\n")), []string{"not a raster"}},
		"through text": {"<VRTDataset/>", nil},
	} {
		t.Run(name, func(t *testing.T) { refusedBy(t, tc.path, tc.reasons...) })
	}
	if os.Getuid() != 0 {
		refusedBy(t, locked, "ermission denied")
	}
}

func TestPathsOfOtherKindsAreRemote(t *testing.T) {
	for _, path := range []string{
		"/vsicurl/http://127.0.0.1:1/a.tif", "/vsizip/a.zip/a.tif", "/vsis3/bucket/a.tif", "/vsimem/a.tif", "/vsistdin/",
		"http://127.0.0.1:1/a.tif", "WMS:http://127.0.0.1:1/", "PG:dbname=x", "MEM:::DATAPOINTER=1,PIXELS=1,LINES=1",
		`<GDAL_WMS><Service name="TMS"><ServerUrl>http://127.0.0.1:1/</ServerUrl></Service></GDAL_WMS>`,
	} {
		if _, err := Open(path, Options{}); !errors.Is(err, ErrRemote) {
			t.Errorf("%s: error %v, want ErrRemote", path, err)
		}
	}
}

func TestHugeBlocksAreRefused(t *testing.T) {
	// One strip of 20000 × 20000 pixels of 4 bytes, not written: 1.6 GB to
	// decode for any post of it.
	path := sample{cols: 20000, rows: 20000, crs: "EPSG:4326", transform: lonLat(10, 50, 0.0001),
		options: []string{"COMPRESS=DEFLATE", "BLOCKYSIZE=20000", "SPARSE_OK=TRUE"}}.make(t, "strip.tif")
	refusedBy(t, path, "20000 by 20000", "TILED=YES")
}

// A number of another kind of system in the head of a file is no reason to crash: every
// number of a geographic system from 4000 to 4999 is tried, geocentric ones among them.
func TestNumbersOfSystemsDoNotCrash(t *testing.T) {
	whole, err := os.ReadFile(cumberland + "cumberland_ll_int16.tif")
	if err != nil {
		t.Fatal(err)
	}
	const at = 428 // where the fixture holds 4326, little-endian
	if whole[at] != 0xe6 || whole[at+1] != 0x10 {
		t.Fatalf("the number of the system stands elsewhere: %x", whole[at:at+2])
	}
	path := filepath.Join(t.TempDir(), "number.tif")
	opened, refused := 0, 0
	for code := 4000; code < 5000; code++ {
		whole[at], whole[at+1] = byte(code), byte(code>>8)
		if err := os.WriteFile(path, whole, 0o644); err != nil {
			t.Fatal(err)
		}
		r, err := Open(path, Options{})
		if err != nil {
			refused++
			continue
		}
		opened++
		r.Close()
	}
	if opened < 100 || refused < 100 {
		t.Errorf("%d opened, %d refused: not what such numbers are", opened, refused)
	}
}
