//go:build gdal

package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	binding "github.com/lukeroth/gdal"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/gdal"
)

// losses returns the loss of each link of a site, by neighbour.
func losses(t *testing.T, pole, dem string) map[string]float64 {
	t.Helper()
	r := polereach(t, "site", "--pole", pole, "--format", "json", "--dem", dem, demo+"plan.geojson")
	if r.code == exitUsage || r.code == exitFailed {
		t.Fatalf("exit %d: %s", r.code, r.err)
	}
	var site struct {
		Links []struct {
			To     string  `json:"to"`
			LossDB float64 `json:"loss_db"`
		} `json:"links"`
	}
	if err := json.Unmarshal([]byte(r.out), &site); err != nil {
		t.Fatal(err)
	}
	out := map[string]float64{}
	for _, l := range site.Links {
		out[l.To] = l.LossDB
	}
	return out
}

// The same ground as a tile and as a GeoTIFF of the same posts: the same bytes.
//
// The UTM file of the same ground was resampled to 90 m, which moves heights by
// 2.7 m (root mean square, see package terrain/gdal), and losses with them: a
// pole 5 m high in a hollow of one post has its horizon 75 m away. What that
// does is logged; that no more than heights are behind it is shown below.
func TestSameGroundSameAnswer(t *testing.T) {
	tile, ll, utm := ground+"N36W085.hgt.zip", ground+"cumberland_ll_int16.tif", ground+"cumberland_utm16n_float32.tif"
	r := polereach(t, "site", "--pole", "Sorrel Ridge", "--format", "json", "--dem", tile, demo+"plan.geojson")
	if r.code == exitUsage || r.code == exitFailed {
		t.Fatalf("exit %d: %s", r.code, r.err)
	}
	if other := polereach(t, "site", "--pole", "Sorrel Ridge", "--format", "json", "--dem", ll, demo+"plan.geojson"); other != r {
		t.Errorf("tile and GeoTIFF differ:\n%s\n%s%s", r.out, other.out, other.err)
	}
	var differ []float64
	for _, pole := range polesOf(t) {
		want, exact, got := losses(t, pole, tile), losses(t, pole, ll), losses(t, pole, utm)
		if len(want) == 0 || len(got) != len(want) {
			t.Fatalf("%s: %d links and %d", pole, len(want), len(got))
		}
		for to, loss := range want {
			if exact[to] != loss {
				t.Errorf("%s to %s: %v dB from the GeoTIFF, %v dB from the tile", pole, to, exact[to], loss)
			}
			differ = append(differ, math.Abs(got[to]-loss))
		}
	}
	slices.Sort(differ)
	within, _ := slices.BinarySearch(differ, 0.5)
	median := differ[len(differ)/2]
	t.Logf("90 m UTM against 3\": %d of %d losses within 0.5 dB, median %.2f dB, largest %.2f dB", within, len(differ), median, differ[len(differ)-1])
	if !(median <= 0.5) {
		t.Errorf("median difference %.2f dB, want 0.5 dB or less", median)
	}
}

// GDAL's warper puts the ground into UTM at 5 m, exact to the transformation.
// Sampled at the same places, each link whose poles stand on the same ground to
// 5 cm has the same loss to within 0.5 dB.
func TestUTMSameGroundSameLoss(t *testing.T) {
	source := ground + "cumberland_ll_int16.tif"
	path := filepath.Join(t.TempDir(), "utm.tif")
	ds, err := binding.Open(source, binding.ReadOnly)
	if err != nil {
		t.Fatal(err)
	}
	defer ds.Close()
	warped, err := binding.Warp(path, nil, []binding.Dataset{ds}, strings.Fields("-et 0 -t_srs EPSG:32616 -tr 5 5 -r bilinear -ot Float32 -dstnodata -9999 -co TILED=YES"))
	if err != nil {
		t.Fatal(err)
	}
	warped.Close()
	p, err := readPlan(demo + "plan.geojson")
	if err != nil {
		t.Fatal(err)
	}
	var dems [2]terrain.DEM
	for k, name := range []string{source, path} {
		r, err := gdal.Open(name, gdal.Options{})
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		dems[k] = r
	}
	env := linkbudget.Environment{FreqHz: 915e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}, K: radio.KMedian}
	pole := linkbudget.Station{HeightM: 5, TxDBm: 14, NoiseFigureDB: 6}
	worst, compared, moved := 0.0, 0, 0
	for i, a := range p.Stations {
		for _, b := range p.Stations[:i] {
			var loss [2]float64
			var foot [2][2]float64
			for k, d := range dems {
				profile, err := terrain.NewProfile(d, a.At, b.At, terrain.ProfileOptions{SpacingM: 75})
				if err != nil {
					t.Fatal(err)
				}
				result, err := linkbudget.Evaluate(profile, pole, pole, env)
				if err != nil {
					t.Fatal(err)
				}
				loss[k] = float64(result.LossDB)
				foot[k] = [2]float64{profile.HeightM[0], profile.HeightM[len(profile.HeightM)-1]}
			}
			if !(math.Abs(foot[0][0]-foot[1][0]) <= 0.05 && math.Abs(foot[0][1]-foot[1][1]) <= 0.05) {
				moved++
				continue
			}
			d := math.Abs(loss[0] - loss[1])
			if !(d <= 0.5) {
				t.Errorf("%s to %s: %.2f dB over degrees, %.2f dB over UTM", a.Name, b.Name, loss[0], loss[1])
			}
			worst, compared = max(worst, d), compared+1
		}
	}
	t.Logf("largest difference %.3f dB over %d links; %d more have a pole whose ground moved by more than 5 cm", worst, compared, moved)
	if compared < 20 {
		t.Errorf("only %d links compared", compared)
	}
}

func polesOf(t *testing.T) []string {
	t.Helper()
	data, err := os.ReadFile(demo + "plan.geojson")
	if err != nil {
		t.Fatal(err)
	}
	var p struct {
		Features []struct {
			Geometry   struct{ Type string }
			Properties struct{ Name string }
		}
	}
	if err := json.Unmarshal(data, &p); err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range p.Features {
		if f.Geometry.Type == "Point" {
			names = append(names, f.Properties.Name)
		}
	}
	return names
}

func TestMixedTerrain(t *testing.T) {
	want := linkOn(t, ground+"N36W085.hgt.zip")
	for name, dem := range map[string][]string{
		"tile, then UTM":         {ground + "N36W085.hgt.zip", ground + "cumberland_utm16n_float32.tif"},
		"GeoTIFF, tile, UTM":     {ground + "cumberland_ll_int16.tif", ground + "N36W085.hgt.zip", ground + "cumberland_utm16n_float32.tif"},
		"a folder of all":        {folderOf(t, "N36W085.hgt.zip", "cumberland_utm16n_float32.tif", "cumberland_ll_int16.tif")},
		"a folder of rasters":    {folderOf(t, "cumberland_utm16n_float32.tif", "cumberland_ll_int16.tif")}, // "_ll" sorts before "_utm"
		"a folder, then a file":  {folderOf(t, "cumberland_ll_int16.tif"), ground + "cumberland_utm16n_float32.tif"},
		"through the other path": {ground + "../cumberland/cumberland_ll_int16.tif"},
	} {
		r := linkOn(t, dem...)
		if verdict(r.out) != verdict(want.out) || r.err != "" || r.code != want.code {
			t.Errorf("%s: exit %d, stderr %q, %q; want exit %d, %q", name, r.code, r.err, verdict(r.out), want.code, verdict(want.out))
		}
	}
	// UTM first wins: its heights are not those of the tile.
	if r := linkOn(t, ground+"cumberland_utm16n_float32.tif", ground+"N36W085.hgt.zip"); r.out == want.out || r.err != "" {
		t.Errorf("UTM first gives the answer of the tile, or stderr %q", r.err)
	}
}

// verdict is the first line of the answer.
func verdict(out string) string {
	first, _, _ := strings.Cut(out, "\n")
	return first
}

func TestBadRastersAreRefused(t *testing.T) {
	dir := folderOf(t, "cumberland_ll_int16.tif")
	bad := filepath.Join(dir, "b.tif")
	if err := os.WriteFile(bad, []byte("no raster"), 0o644); err != nil {
		t.Fatal(err)
	}
	refused(t, linkOn(t, bad), "b.tif", "not recognized")
	refused(t, linkOn(t, dir), "b.tif", "not recognized") // not passed over in a folder either
	refused(t, linkOn(t, "/vsicurl/http://127.0.0.1:1/a.tif"), "/vsicurl/", "--allow-remote")
	refused(t, linkOn(t, "http://127.0.0.1:1/a.tif"), "--allow-remote")
	pipe := filepath.Join(t.TempDir(), "pipe.tif")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	refused(t, linkOn(t, pipe), "pipe.tif", "neither a file nor a folder")
	r := polereach(t, "link", "--allow-remote", "--height-m", "5", "-84.24,36.55", "-84.15,36.65", "--dem", "/vsizip/none.zip/a.tif")
	if r.code != exitUsage || strings.Contains(r.err, "allowed only") || !strings.Contains(r.err, "none.zip") {
		t.Errorf("exit %d, stderr %q; want GDAL's own words", r.code, r.err)
	}
}

func TestDEMTellsOfRasters(t *testing.T) {
	r := polereach(t, "dem", ground+"cumberland_ll_int16.tif", ground+"cumberland_utm16n_float32.tif")
	if r.code != exitHolds || r.err != "" {
		t.Fatalf("exit %d: %s", r.code, r.err)
	}
	// The figures of SOURCES.md beside the data, found there with GDAL 3.6.2:
	// 403 x 344 posts, 236..1076 m; the cut round the rotated edge is void.
	for _, w := range []string{
		"cumberland_ll_int16.tif\n", "GTiff, Int16", "system   WGS 84\n", "403 x 344", `3.00" x 3.00"`, "236 to 1076 m\n", "voids    0 of 138632",
		"cumberland_utm16n_float32.tif\n", "GTiff, Float32", "WGS 84 / UTM zone 16N", "about 90 m along rows, 90 m along columns",
	} {
		if !strings.Contains(r.out, w) {
			t.Errorf("%q is missing in:\n%s", w, r.out)
		}
	}
	r = polereach(t, "dem", "--format", "json", ground+"cumberland_utm16n_float32.tif")
	var out struct {
		Files []map[string]any
	}
	if err := json.Unmarshal([]byte(r.out), &out); err != nil || len(out.Files) != 1 {
		t.Fatalf("%v: %s", err, r.out)
	}
	f := out.Files[0]
	if f["format"] != "GTiff, Float32" || f["crs"] != "WGS 84 / UTM zone 16N" || f["vertical_unit"] != "metre" || f["step_lon_deg"] != nil {
		t.Errorf("%v", f)
	}
	if v, _ := f["voids"].(float64); !(v > 1000 && v < 20000) {
		t.Errorf("%v voids", f["voids"])
	}
}

// The program as it is built: a link across 40,000 × 40,000 posts, and sites of
// plans of 500 poles on them, each within 512 MiB resident.
func TestLargeRasterInBoundedMemory(t *testing.T) {
	if testing.Short() || raceDetector {
		t.Skip("measures memory of the program: run it without -short and without -race")
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
		"link from corner to corner":            {[]string{"link", "5.01,54.99", "16.1,43.9", "--height-m", "20", "--dem", tif}, 0},
		"site, 500 poles within 47 km":          {[]string{"site", "--pole", "P000", "--format", "json", "--dem", tif, spiral(t, 0.42)}, 499},
		"site, 500 poles over the whole raster": {[]string{"site", "--pole", "P000", "--format", "json", "--dem", tif, spiral(t, 3.5)}, 1},
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
		t.Logf("%s: %d links, %.0f MiB resident at most, %.1f s of CPU", name, links, mib, cmd.ProcessState.UserTime().Seconds())
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
