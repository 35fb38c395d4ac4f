package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/polereach/polereach/terrain/gdal"
)

const ground = "../../testdata/cumberland/"

// folderOf copies files of the measured ground into a folder of the test.
func folderOf(t *testing.T, names ...string) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range names {
		data, err := os.ReadFile(ground + name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// linkOn runs one link over the given terrain.
func linkOn(t *testing.T, dem ...string) result {
	t.Helper()
	args := []string{"link", "-84.2405,36.5565", "-84.15,36.65", "--height-m", "5", "--freq-mhz", "915"}
	for _, d := range dem {
		args = append(args, "--dem", d)
	}
	return polereach(t, args...)
}

// verdict is the first line of the answer.
func verdict(out string) string {
	first, _, _ := strings.Cut(out, "\n")
	return first
}

// Without the tag, a raster of another kind says why and what to do; with it, these are read.
func TestForeignTerrainInThePlainBuild(t *testing.T) {
	if gdal.Built {
		t.Skip("the plain build says this: run without -tags gdal")
	}
	tif := ground + "cumberland_utm16n_float32.tif"
	howTo := []string{"cumberland_utm16n_float32.tif", "projected (EPSG:32616)", "gdalwarp -t_srs EPSG:4326", "-tags gdal"}
	refused(t, linkOn(t, tif), howTo...)
	refused(t, linkOn(t, folderOf(t, "cumberland_utm16n_float32.tif")), howTo...)
	refused(t, polereach(t, "dem", tif), howTo...)
	refused(t, linkOn(t, write(t, "a.img", []byte("HFA"))), "a.img", ".hgt", ".hgt.zip", "GeoTIFF", "ESRI ASCII grid",
		"apt-get install libgdal-dev", "go build -tags gdal")
	refused(t, linkOn(t, "/vsicurl/http://127.0.0.1:1/a.tif"), "/vsicurl/http://127.0.0.1:1/a.tif", "-tags gdal")

	// Beside tiles it is passed over, not in silence.
	r := linkOn(t, folderOf(t, "N36W085.hgt.zip", "cumberland_utm16n_float32.tif"))
	if r.code != exitHolds && r.code != exitNotHeld ||
		!strings.Contains(r.err, "cumberland_utm16n_float32.tif passed over") || !strings.Contains(r.err, howTo[2]) {
		t.Errorf("exit %d, stderr %q", r.code, r.err)
	}
	if alone := linkOn(t, ground+"N36W085.hgt.zip"); alone.out != r.out {
		t.Error("the answer is not that of the tile alone")
	}
}

// The same posts as a tile and as a GeoTIFF give the same answer in every build.
func TestGeoTIFFAnswersLikeTheTile(t *testing.T) {
	tile, tif := linkOn(t, ground+"N36W085.hgt.zip"), linkOn(t, ground+"cumberland_ll_int16.tif")
	if tif != tile {
		t.Errorf("exit %d, stderr %q\n%s\nwant\n%s", tif.code, tif.err, tif.out, tile.out)
	}
	r := polereach(t, "dem", ground+"cumberland_ll_int16.tif")
	for _, w := range []string{"cumberland_ll_int16.tif\n", "GeoTIFF, Int16", "system   WGS 84\n", "403 x 344",
		"236 to 1076 m\n", "voids    0 of 138632"} {
		if r.code != exitHolds || !strings.Contains(r.out, w) {
			t.Errorf("exit %d, %q is missing in:\n%s%s", r.code, w, r.out, r.err)
		}
	}
	refused(t, linkOn(t, write(t, "b.tif", []byte("no raster"))), "b.tif", "not a TIFF file")
}

// Files beside the terrain do not matter.
func TestFolderWithSidecars(t *testing.T) {
	dir := folderOf(t, "N36W085.hgt.zip")
	for _, name := range []string{"README.md", "notes.txt", "x.prj", "N36W085.hgt.zip.aux.xml", "a.tif.ovr", "meta.xml",
		".hidden.tif"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte("hello"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "more.tif"), 0o755); err != nil {
		t.Fatal(err)
	}
	r, want := linkOn(t, dir), linkOn(t, ground+"N36W085.hgt.zip")
	if r != want {
		t.Errorf("exit %d, stderr %q; want the answer of the tile alone", r.code, r.err)
	}
}

// A plan cannot bring terrain along: what looks like a path in it is kept as a
// property of its own and read by nobody.
func TestPlanNamesNoRaster(t *testing.T) {
	text := `{"type":"FeatureCollection","dem":"/vsicurl/http://127.0.0.1:1/a.tif","features":[
{"type":"Feature","geometry":{"type":"Point","coordinates":[-84.2405,36.5565]},"properties":{"name":"A","height_m":5,"dem":"/etc/passwd"}},
{"type":"Feature","geometry":{"type":"Point","coordinates":[-84.15,36.65]},"properties":{"name":"B","height_m":5}}]}`
	path := write(t, "plan.geojson", []byte(text))
	refused(t, polereach(t, "site", "--pole", "A", path), "no terrain", "--dem")
	r := polereach(t, "site", "--pole", "A", "--freq-mhz", "915", "--dem", ground+"N36W085.hgt.zip", path)
	if r.code == exitUsage || r.code == exitFailed {
		t.Errorf("exit %d, stderr %q", r.code, r.err)
	}
	if strings.Contains(r.out+r.err, "vsicurl") || strings.Contains(r.out+r.err, "passwd") {
		t.Errorf("the plan's path turns up: %s%s", r.out, r.err)
	}
	radio := write(t, "radio.json", []byte(`{"allow_remote": true}`))
	refused(t, polereach(t, "site", "--pole", "A", "--radio", radio, "--dem", ground+"N36W085.hgt.zip", path),
		"allow_remote")
	radio = write(t, "radio.json", []byte(`{"dem": "x.tif"}`))
	refused(t, polereach(t, "site", "--pole", "A", "--radio", radio, "--dem", ground+"N36W085.hgt.zip", path), `dem`)
}
