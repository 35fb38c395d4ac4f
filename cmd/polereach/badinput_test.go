package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// write makes a file in a fresh folder and returns its path.
func write(t *testing.T, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func refused(t *testing.T, r result, words ...string) {
	t.Helper()
	if r.code != exitUsage || r.out != "" {
		t.Errorf("exit %d, want 2; stdout %q", r.code, r.out)
	}
	for _, w := range words {
		if !strings.Contains(r.err, w) {
			t.Errorf("stderr does not say %q:\n%s", w, r.err)
		}
	}
}

const goodPoint = `{"type":"Feature","properties":{"name":"Elm Top","height_m":5},"geometry":{"type":"Point","coordinates":[-84.24,36.55]}}`

func collection(features ...string) string {
	return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
}

func feature(properties, geometry string) string {
	return `{"type":"Feature","properties":` + properties + `,"geometry":` + geometry + `}`
}

func point(coordinates string) string {
	return `{"type":"Point","coordinates":` + coordinates + `}`
}

func TestBadPlanIsRefused(t *testing.T) {
	good := point("[-84.2,36.5]")
	for name, c := range map[string]struct {
		plan string
		want []string
	}{
		"empty file":              {"", []string{"p.geojson", "empty"}},
		"not JSON":                {"{", []string{"p.geojson"}},
		"not a FeatureCollection": {`{"type":"Topology"}`, []string{"TopoJSON", "ogr2ogr -f GeoJSON"}},
		"no points":               {collection(), []string{"p.geojson"}},
		"duplicate names":         {collection(goodPoint, goodPoint), []string{"feature 1", "Elm Top", "name"}},
		"coordinates swapped": {collection(feature(`{"name":"A","height_m":5}`, point("[36.5,-94.2]"))),
			[]string{"feature 0", `"A"`, "swapped"}},
		"longitude out of range": {collection(feature(`{"name":"A","height_m":5}`, point("[-190,36.5]"))),
			[]string{"feature 0", "-190", "180"}},
		"null geometry": {collection(feature(`{"name":"A","height_m":5}`, "null")),
			[]string{"feature 0", "geometry", "null"}},
		"height 0": {collection(feature(`{"name":"A","height_m":0}`, good)),
			[]string{"feature 0", "height_m", "0"}},
		"height negative": {collection(feature(`{"name":"A","height_m":-3}`, good)), []string{"height_m", "-3"}},
		"height NaN":      {collection(feature(`{"name":"A","height_m":NaN}`, good)), []string{"p.geojson"}},
		"height text": {collection(feature(`{"name":"A","height_m":"tall"}`, good)),
			[]string{"height_m", "tall"}},
		"link to nobody": {collection(goodPoint, feature(`{"from":"Elm Top","to":"Elm Tip"}`,
			`{"type":"LineString","coordinates":[[-84.24,36.55],[-84.2,36.5]]}`)), []string{"feature 1", "to", "Elm Tip",
			"Elm Top"}},
		"link with SF 4": {collection(goodPoint, feature(`{"name":"B","height_m":5}`, good),
			feature(`{"from":"Elm Top","to":"B","sf":4}`, `{"type":"LineString","coordinates":[[-84.24,36.55],[-84.2,36.5]]}`)),
			[]string{"feature 2", "sf", "4"}},
		"wood too deep": {collection(feature(`{"name":"A","height_m":5,"wood_m":2001}`, good)),
			[]string{"wood_m", "2001", "0 to 2000 m"}},
		"clutter unknown": {collection(feature(`{"name":"A","height_m":5,"inside":"marsh"}`, good)),
			[]string{"inside", "marsh", "dense_urban"}},
		"clutter top": {collection(feature(`{"name":"A","height_m":5,"inside":"wood","clutter_top_m":101}`,
			good)), []string{"clutter_top_m", "101", "0 to 100 m"}},
		"clutter twice": {collection(feature(`{"name":"A","height_m":5,"inside":"wood","wood_m":30}`, good)),
			[]string{"wood_m", `inside "wood"`, "give one"}},
		"sector without azimuth": {collection(feature(`{"name":"A","height_m":5,"beam":"sector"}`, good)),
			[]string{"azimuth_deg", "missing", "sector", "0 to 360 deg"}},
		"beamwidth": {collection(feature(`{"name":"A","height_m":5,"beam":"sector","azimuth_deg":9,"beamwidth_deg":4}`,
			good)), []string{"beamwidth_deg", "4", "5 to 180 deg"}},
		"tilt": {collection(feature(`{"name":"A","height_m":5,"tilt_deg":46}`, good)),
			[]string{"tilt_deg", "46", "-45 to 45 deg"}},
		"polarisation unknown": {collection(feature(`{"name":"A","height_m":5,"polarisation":"circular"}`, good)),
			[]string{"polarisation", "circular", "horizontal"}},
		"cable unknown": {collection(feature(`{"name":"A","height_m":5,"coax":"RG-59","coax_m":3}`, good)),
			[]string{"coax", "RG-59", "RG-58"}},
		"cable without length": {collection(feature(`{"name":"A","height_m":5,"coax":"RG-58"}`, good)),
			[]string{"coax_m", "missing", "0 to 200 m"}},
		"cable too long": {collection(feature(`{"name":"A","height_m":5,"coax":"RG-58","coax_m":201}`, good)),
			[]string{"coax_m", "201", "0 to 200 m"}},
		"VSWR below 1": {collection(feature(`{"name":"A","height_m":5,"vswr":0.9}`, good)),
			[]string{"vswr", "0.9", "1 to 10"}},
		"mount unknown": {collection(feature(`{"name":"A","height_m":5,"mount":"left"}`, good)),
			[]string{"mount", "left", "side"}},
		"noise unknown": {collection(feature(`{"name":"A","height_m":5,"noise":"loud"}`, good)),
			[]string{"noise", "loud", "city"}},
		"noise figure 0": {collection(feature(`{"name":"A","height_m":5,"noise_figure_db":0}`, good)),
			[]string{"noise_figure_db", "above 0 to 30 dB"}},
		"noise rise": {collection(feature(`{"name":"A","height_m":5,"noise_rise_db":61}`, good)),
			[]string{"noise_rise_db", "61", "0 to 60 dB"}},
		"a third of a transmitter": {collection(feature(`{"name":"A","height_m":5,"nearby_tx_dbm":20}`, good)),
			[]string{"nearby_offset_mhz", "nearby_isolation_db", "missing"}},
		"nearby on the channel": {collection(feature(`{"name":"A","height_m":5,"nearby_tx_dbm":20,"nearby_offset_mhz":0,"nearby_isolation_db":30}`, good)), []string{"nearby_offset_mhz", "0", "1 to 100 MHz"}},
		"several at once": {collection(feature(`{"name":"A","height_m":0,"vswr":11,"mount":"left"}`, good)),
			[]string{"height_m", "vswr", "mount"}},
	} {
		t.Run(name, func(t *testing.T) {
			path := write(t, "p.geojson", []byte(c.plan))
			refused(t, polereach(t, "site", "--pole", "Elm Top", "--dem", demo+"dem", path), c.want...)
		})
	}
	refused(t, polereach(t, "site", "--pole", "x", filepath.Join(t.TempDir(), "none.geojson")), "none.geojson")
}

func zipped(t *testing.T, entry string, data []byte) []byte {
	t.Helper()
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	w, err := z.Create(entry)
	if err == nil {
		_, err = w.Write(data)
	}
	if err == nil {
		err = z.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func TestBadTerrainIsRefused(t *testing.T) {
	tile := make([]byte, 1201*1201*2)
	ascii := func(rows string) []byte {
		return []byte("ncols 3\nnrows 2\nxllcorner -84.3\nyllcorner 36.5\ncellsize 0.1\n" + rows)
	}
	for name, c := range map[string]struct {
		file string
		data []byte
		want []string
	}{
		"truncated hgt": {"N36W085.hgt", tile[:1000], []string{"N36W085.hgt", "1000"}},
		"hgt of a wrong size": {"N36W085.hgt", append(tile, 0, 0), []string{"N36W085.hgt", fmt.Sprint(len(tile) + 2),
			fmt.Sprint(len(tile))}},
		"name that says nothing": {"tile.hgt", tile, []string{"tile.hgt"}},
		"zip without a tile":     {"N36W085.hgt.zip", zipped(t, "readme.txt", []byte("x")), []string{"N36W085.hgt.zip"}},
		"zip bomb": {"N36W085.hgt.zip", zipped(t, "N36W085.hgt", make([]byte, 64<<20)),
			[]string{"N36W085.hgt.zip", fmt.Sprint(64 << 20)}},
		"not a zip":        {"N36W085.hgt.zip", []byte("PK nothing"), []string{"N36W085.hgt.zip"}},
		"too few numbers":  {"a.asc", ascii("1 2 3 4 5"), []string{"a.asc", "5", "6"}},
		"too many numbers": {"a.asc", ascii("1 2 3 4 5 6 7"), []string{"a.asc", "6"}},
		"not a number":     {"a.asc", ascii("1 2 3 x 5 6"), []string{"a.asc", "x"}},
		"terabytes promised": {"a.asc", []byte("ncols 2000000\nnrows 2000000\nxllcorner 0\nyllcorner 0\ncellsize " +
			"0.00001\n1 2 3"), []string{"a.asc", "2000000"}},
		"foreign file": {"notes.txt", []byte("hello"), []string{"notes.txt"}},
	} {
		t.Run(name, func(t *testing.T) {
			path := write(t, c.file, c.data)
			refused(t, polereach(t, "link", "-84.2,36.55", "-84.15,36.56", "--height-m", "5", "--dem", path), c.want...)
		})
	}
	refused(t, polereach(t, "link", "-84.2,36.55", "-84.1,36.56", "--height-m", "5", "--dem", t.TempDir()), "tile")
	refused(t, polereach(t, "link", "-84.2,36.55", "-84.1,36.56", "--height-m", "5", "--dem",
		filepath.Join(t.TempDir(), "none")), "none", "no such")
}

// A pole or a path without terrain is computed, and says where: exit 4.
func TestMissingTerrainIsUnknown(t *testing.T) {
	for name, c := range map[string]struct {
		args []string
		want []string
	}{
		"pole in a void": {[]string{"site", "--at", "-84.6,36.6", "--height-m", "5", "--range-km", "40", demo +
			"plan.geojson"}, []string{"UNKNOWN", "ground unknown: void", "void from 0.00 to"}},
		"pole off the tile": {[]string{"site", "--at", "-83.9,36.6", "--height-m", "5", demo + "plan.geojson"},
			[]string{"UNKNOWN", "outside the terrain"}},
		"path leaves terrain": {[]string{"link", "-84.24,36.5565", "-83.9,36.6", "--height-m", "5", "--dem", demo + "dem"},
			[]string{"UNKNOWN", "void from", "outside the terrain from", "-83.99917"}},
	} {
		t.Run(name, func(t *testing.T) {
			r := polereach(t, c.args...)
			outside := strings.Contains(strings.Join(c.want, " "), "outside")
			if r.code != exitUnjudged || strings.Contains(r.err, "dem get") != outside || !outside && r.err != "" {
				t.Errorf("exit %d, want 4; stderr %q", r.code, r.err)
			}
			for _, w := range c.want {
				if !strings.Contains(r.out, w) {
					t.Errorf("stdout does not say %q:\n%s", w, r.out)
				}
			}
			if r := polereach(t, append(c.args, "--format", "json")...); r.code != exitUnjudged ||
				strings.Contains(r.out, "NaN") || strings.Contains(r.out, `"loss_db"`) || !strings.Contains(r.out, `"gaps"`) {
				t.Errorf("JSON: exit %d\n%s", r.code, r.out)
			}
		})
	}
}
