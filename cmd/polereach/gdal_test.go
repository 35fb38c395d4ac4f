//go:build gdal

package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

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
	if other := polereach(t, "site", "--pole", "Sorrel Ridge", "--format", "json", "--dem", ll,
		demo+"plan.geojson"); other != r {
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
	t.Logf("90 m UTM against 3\": %d of %d losses within 0.5 dB, median %.2f dB, largest %.2f dB", within, len(differ),
		median, differ[len(differ)-1])
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
	warped, err := binding.Warp(path, nil, []binding.Dataset{ds},
		strings.Fields("-et 0 -t_srs EPSG:32616 -tr 5 5 -r bilinear -ot Float32 -dstnodata -9999 -co TILED=YES"))
	if err != nil {
		t.Fatal(err)
	}
	warped.Close()
	p, err := readPlan(nil, demo+"plan.geojson")
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
	t.Logf("largest difference %.3f dB over %d links; %d more have a pole whose ground moved by more than 5 cm", worst,
		compared, moved)
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
		"tile, then UTM": {ground + "N36W085.hgt.zip", ground + "cumberland_utm16n_float32.tif"},
		"GeoTIFF, tile, UTM": {ground + "cumberland_ll_int16.tif", ground + "N36W085.hgt.zip", ground +
			"cumberland_utm16n_float32.tif"},
		"a folder of all": {folderOf(t, "N36W085.hgt.zip", "cumberland_utm16n_float32.tif",
			"cumberland_ll_int16.tif")},
		"a folder of rasters": {folderOf(t, "cumberland_utm16n_float32.tif",
			"cumberland_ll_int16.tif")}, // "_ll" sorts before "_utm"
		"a folder, then a file":  {folderOf(t, "cumberland_ll_int16.tif"), ground + "cumberland_utm16n_float32.tif"},
		"through the other path": {ground + "../cumberland/cumberland_ll_int16.tif"},
	} {
		r := linkOn(t, dem...)
		if verdict(r.out) != verdict(want.out) || r.err != "" || r.code != want.code {
			t.Errorf("%s: exit %d, stderr %q, %q; want exit %d, %q", name, r.code, r.err, verdict(r.out), want.code,
				verdict(want.out))
		}
	}
	// UTM first wins: its heights are not those of the tile.
	if r := linkOn(t, ground+"cumberland_utm16n_float32.tif", ground+"N36W085.hgt.zip"); r.out == want.out || r.err != "" {
		t.Errorf("UTM first gives the answer of the tile, or stderr %q", r.err)
	}
}

func TestBadRastersAreRefused(t *testing.T) {
	dir := folderOf(t, "cumberland_ll_int16.tif")
	bad := filepath.Join(dir, "b.tif")
	if err := os.WriteFile(bad, []byte("no raster"), 0o644); err != nil {
		t.Fatal(err)
	}
	refused(t, linkOn(t, bad), "b.tif", "not a TIFF file")
	refused(t, linkOn(t, dir), "b.tif", "not a TIFF file") // not passed over in a folder either
	refused(t, linkOn(t, "/vsicurl/http://127.0.0.1:1/a.tif"), "/vsicurl/", "--allow-remote")
	refused(t, linkOn(t, "http://127.0.0.1:1/a.tif"), "--allow-remote")
	pipe := filepath.Join(t.TempDir(), "pipe.tif")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	refused(t, linkOn(t, pipe), "pipe.tif", "neither a file nor a folder")
	r := polereach(t, "link", "--allow-remote", "--height-m", "5", "-84.24,36.55", "-84.15,36.65", "--dem",
		"/vsizip/none.zip/a.tif")
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
		"cumberland_ll_int16.tif\n", "GeoTIFF, Int16", "system   WGS 84\n", "403 x 344", `3.00" x 3.00"`, "236 to 1076 m\n",
		"voids    0 of 138632",
		"cumberland_utm16n_float32.tif\n", "GTiff, Float32", "WGS 84 / UTM zone 16N", "about 90 m along rows, 90 m along " +
			"columns",
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
	if f["format"] != "GTiff, Float32" || f["crs"] != "WGS 84 / UTM zone 16N" || f["vertical_unit"] != "metre" ||
		f["step_lon_deg"] != nil {
		t.Errorf("%v", f)
	}
	if v, _ := f["voids"].(float64); !(v > 1000 && v < 20000) {
		t.Errorf("%v voids", f["voids"])
	}
}

// Two rasters of the same ground that differ by hundreds of metres are told.
func TestRastersThatDifferAreTold(t *testing.T) {
	dir := folderOf(t, "cumberland_utm16n_float32.tif")
	info, err := exec.Command("gdalinfo", "-json", dir+"/cumberland_utm16n_float32.tif").Output()
	if err != nil {
		t.Skip("no gdalinfo to make a VRT by:", err)
	}
	var of struct {
		Size         [2]int     `json:"size"`
		GeoTransform [6]float64 `json:"geoTransform"`
	}
	if err := json.Unmarshal(info, &of); err != nil {
		t.Fatal(err)
	}
	for _, plusM := range []int{20, 300} {
		text := fmt.Sprintf(`<VRTDataset rasterXSize="%d" rasterYSize="%d"><SRS>EPSG:32616</SRS><GeoTransform>%s</GeoTransform>
<VRTRasterBand dataType="Float32" band="1"><NoDataValue>-9999</NoDataValue><ComplexSource><SourceFilename relativeToVRT="1">
cumberland_utm16n_float32.tif</SourceFilename><SourceBand>1</SourceBand><ScaleOffset>%d</ScaleOffset><ScaleRatio>1</ScaleRatio>
<NODATA>-9999</NODATA></ComplexSource></VRTRasterBand></VRTDataset>`, of.Size[0], of.Size[1],
			strings.Trim(strings.Join(strings.Fields(fmt.Sprint(of.GeoTransform)), ", "), "[]"), plusM)
		text = strings.ReplaceAll(text, ">\ncumberland", ">cumberland")
		if err := os.WriteFile(dir+"/higher.vrt", []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		r := linkOn(t, dir)
		if told := strings.Contains(r.err, "differ by 300 m where both know the ground"); told != (plusM == 300) {
			t.Errorf("%d m: exit %d, %s", plusM, r.code, r.err)
		}
	}
}
