//go:build gdal

package main

import (
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	binding "github.com/lukeroth/gdal"
)

// The program as it is built: a link across 40,000 × 40,000 posts, and sites of
// plans of 500 poles on them, each within 512 MiB resident.
func TestLargeRasterInBoundedMemory(t *testing.T) {
	if raceDetector {
		t.Skip("measures memory of the program: run it without -race")
	}
	if status, _ := os.ReadFile("/proc/self/status"); !strings.Contains(string(status), "VmHWM:") {
		t.Skip("no peak memory in /proc/self/status on this system: run it on Linux")
	}
	dir := t.TempDir()
	program, tif := filepath.Join(dir, "polereach"), filepath.Join(dir, "large.tif")
	if out, err := exec.Command("go", "build", "-tags", "gdal", "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	makeLarge(t, tif)
	for name, tc := range map[string]struct {
		args  []string
		links int
	}{
		"link from corner to corner": {[]string{"link", "5.01,54.99", "16.1,43.9", "--height-m", "20", "--dem",
			tif}, 0},
		"site, 500 poles within 47 km": {[]string{"site", "--pole", "P000", "--format", "json", "--dem", tif,
			spiral(t, 0.42)}, 499},
		"site, 500 poles over the whole raster": {[]string{"site", "--pole", "P000", "--format", "json", "--dem", tif,
			spiral(t, 3.5)}, 1},
	} {
		cmd := exec.Command(program, tc.args...)
		var out, errOut strings.Builder
		cmd.Stdout, cmd.Stderr = &out, &errOut
		mib, err := runWatched(cmd)
		var exit *exec.ExitError
		if err != nil && !(errors.As(err, &exit) && exit.ExitCode() == exitNotHeld) {
			t.Fatalf("%s: %v: %s", name, err, errOut.String())
		}
		links := strings.Count(out.String(), `"loss_db"`)
		if tc.links > 0 && links < tc.links {
			t.Errorf("%s: %d links with a loss, want %d", name, links, tc.links)
		}
		if mib == 0 {
			t.Fatalf("%s: its memory was never seen", name)
		}
		t.Logf("%s: %d links, %.0f MiB resident at most, %.1f s of CPU", name, links, mib,
			cmd.ProcessState.UserTime().Seconds())
		if !(mib < 512) {
			t.Errorf("%s: %.0f MiB resident, want below 512", name, mib)
		}
	}
}

// runWatched runs a program and returns the most it had resident, MiB, as its
// status told last (what the system reports at the end counts the memory of
// this process before the program was loaded, too).
func runWatched(cmd *exec.Cmd) (mib float64, err error) {
	if err := cmd.Start(); err != nil {
		return 0, err
	}
	done := make(chan error, 1)
	go func() { done <- cmd.Wait() }()
	for {
		select {
		case err := <-done:
			return mib, err
		case <-time.After(5 * time.Millisecond):
		}
		status, _ := os.ReadFile(fmt.Sprintf("/proc/%d/status", cmd.Process.Pid))
		_, rest, _ := strings.Cut(string(status), "VmHWM:")
		var kib float64
		if _, err := fmt.Sscan(rest, &kib); err == nil {
			mib = max(mib, kib/1024)
		}
	}
}

// spiral writes a plan of 500 poles that fill a circle of the given radius in
// degrees of latitude about 49.5° N, 10.5° E.
func spiral(t *testing.T, radiusDeg float64) string {
	t.Helper()
	var features []string
	for k := range 500 {
		turn, r := 2.4*float64(k), radiusDeg*math.Sqrt(float64(k)/500)
		features = append(features, fmt.Sprintf(`{"type":"Feature","geometry":{"type":"Point","coordinates":[%.5f,%.5f]},"properties":{"name":"P%03d","height_m":20}}`,
			10.5+r*math.Cos(turn)*1.5, 49.5+r*math.Sin(turn), k))
	}
	return write(t, "plan.geojson", []byte(`{"type":"FeatureCollection","features":[`+strings.Join(features, ",")+`]}`))
}

// makeLarge writes a GeoTIFF of 40,000 × 40,000 posts of 1": flat at 0 m,
// but for one tile in 12, which holds a slope.
func makeLarge(t *testing.T, path string) {
	t.Helper()
	d, err := binding.GetDriverByName("GTiff")
	if err != nil {
		t.Fatal(err)
	}
	ds := d.Create(path, 40000, 40000, 1, binding.Float32, []string{"TILED=YES", "COMPRESS=DEFLATE", "ZLEVEL=1"})
	defer ds.Close()
	sr := binding.CreateSpatialReference("")
	defer sr.Destroy()
	if err := sr.FromEPSG(4326); err != nil {
		t.Fatal(err)
	}
	wkt, err := sr.ToWKT()
	if err != nil {
		t.Fatal(err)
	}
	const s = 1.0 / 3600
	errs := []error{ds.SetProjection(wkt), ds.SetGeoTransform([6]float64{5 - s/2, s, 0, 55 + s/2, 0, -s})}
	raw := make([]float32, 256*256)
	for i := range raw {
		raw[i] = float32(i % 256)
	}
	for tile := range 40000 / 256 {
		for row := tile % 12; row < 40000/256; row += 12 {
			errs = append(errs, ds.RasterBand(1).IO(binding.Write, tile*256, row*256, 256, 256, raw, 256, 256, 0, 0))
		}
	}
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
}
