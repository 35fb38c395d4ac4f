package main

import (
	"bytes"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/madetiff"
)

const demoCover = "../../examples/cumberland/cover.tif"

// madeCover invents what stands on the ground of the demo: woods on slopes and on high ground, a town
// around Mill Bottom, water where the ground is level and low; fields between.
func madeCover(t *testing.T) []byte {
	t.Helper()
	sources, err := terrain.OpenSources(os.DirFS("../../examples/cumberland"), "dem")
	if err != nil {
		t.Fatal(err)
	}
	dem, err := terrain.NewTiles(sources, terrain.TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	const step = 1.0 / 1200
	im := madetiff.Image{Cols: 396, Rows: 336, West: -84.41 + step/2, North: 36.73 - step/2, StepLon: step,
		StepLat: step,
		Kind:    "Byte", Compression: 8, TileCols: 64, TileRows: 64, NoData: "0", Overviews: 1}
	im.Height = func(col, row int) float64 {
		at := orb.Point{im.West + float64(col)*step, im.North - float64(row)*step}
		places := []orb.Point{at, {at[0] - step, at[1]}, {at[0] + step, at[1]}, {at[0], at[1] - step}, {at[0],
			at[1] + step}}
		h, flags := make([]float64, 5), make([]terrain.Flag, 5)
		if err := dem.Heights(places, h, flags); err != nil {
			t.Fatal(err)
		}
		for _, f := range flags {
			if !f.Known() {
				return 0
			}
		}
		slope := math.Hypot((h[2]-h[1])/149, (h[4]-h[3])/185)
		switch {
		case h[0] < 245 && slope < 0.01:
			return 80
		case math.Hypot((at[0]+84.1592)*0.8, at[1]-36.5775) < 0.008:
			return 50
		case slope > 0.12 || h[0] > 640:
			return 10
		case slope > 0.08:
			return 20
		case (col/7+row/5)%2 == 0:
			return 40
		}
		return 30
	}
	return im.Bytes()
}

// The cover of the demo is what the rule above makes of its ground.
func TestDemoCover(t *testing.T) {
	made := madeCover(t)
	if *update {
		if err := os.WriteFile(filepath.FromSlash(demoCover), made, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if kept, err := os.ReadFile(demoCover); err != nil || !bytes.Equal(kept, made) {
		t.Errorf("%s is not what the rule makes: %v, %d bytes, want %d", demoCover, err, len(kept), len(made))
	}
}

// coverProvider has a tile of three degrees in the layout of WorldCover, coarser: woods to the west of
// 84.24° W, fields to the east.
func coverProvider(t *testing.T) string {
	t.Helper()
	im := madetiff.Image{Cols: 720, Rows: 720, West: -87 + 1.0/480, North: 39 - 1.0/480, StepLon: 1.0 / 240,
		StepLat: 1.0 / 240,
		Kind:    "Byte", Compression: 8, TileCols: 64, TileRows: 64, NoData: "0", Overviews: 2,
		Height: func(col, _ int) float64 { return map[bool]float64{true: 10, false: 40}[float64(col) < 2.76*240] },
		Change: func(tags map[uint16]madetiff.Tag) {
			tags[262], tags[320] = madetiff.Tag{Kind: 3, Value: []uint64{3}}, madetiff.Tag{Kind: 3, Value: make([]uint64,
				768)}
		}}
	good := im.Bytes()
	im.Height = func(int, int) float64 { return 200 }
	files := map[string][]byte{"/map/N36W087_Map.tif": good, "/codes/N36W087_Map.tif": im.Bytes(),
		"/cut/N36W087_Map.tif": good[:len(good)/2]}
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if data := files[r.URL.Path]; data != nil {
			http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
			return
		}
		http.NotFound(w, r)
	}))
	t.Cleanup(s.Close)
	return s.URL
}

func TestDEMGetBringsCover(t *testing.T) {
	url, dir := coverProvider(t), t.TempDir()
	for _, name := range []string{"plan.geojson", "radio.json"} {
		text, err := os.ReadFile(demo + name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	plan, folder := filepath.Join(dir, "plan.geojson"), filepath.Join(dir, "cover")
	for _, bad := range []struct{ path, want string }{{"/codes", "codes of 200 to 200, allowed 10 tree cover"},
		{"/cut", "no tile"}} {
		r := polereach(t, "dem", "get", "--cover", "--from", url+bad.path+"/{tile}_Map.tif", "--radius-km", "1", plan)
		if r.code != exitFailed || !strings.Contains(r.err, bad.want) {
			t.Errorf("%s: exit %d, %s", bad.path, r.code, r.err)
		}
	}
	for _, want := range []string{"N36W087  fetched\n", "N36W087  there already: " + filepath.Join(folder,
		"N36W087_Map.tif") + "\n"} {
		r := polereach(t, "dem", "get", "--cover", "--from", url+"/map/{tile}_Map.tif", "--radius-km", "1", plan)
		if r.code != exitHolds || r.out != want {
			t.Errorf("exit %d, %s%s; want %s", r.code, r.out, r.err, want)
		}
	}
	if text, err := os.ReadFile(filepath.Join(folder, "ATTRIBUTION.txt")); err != nil ||
		!strings.Contains(string(text), "N36W087_Map.tif") {
		t.Errorf("%s, %v", text, err)
	}
	r := polereach(t, "link", "-84.2605,36.5565", "-84.1500,36.6500", "--height-m", "8", "--freq-mhz", "915", "--dem",
		demo+"dem",
		"--cover", folder)
	if r.err != "" || !strings.Contains(r.out, "wood at A") || strings.Contains(r.out, "wood at B") {
		t.Errorf("exit %d: %s%s", r.code, r.out, r.err)
	}
	// What is asked for without an address.
	if list := polereach(t, "dem", "get", "--cover", "--list", "--at", "10,85.5"); !strings.Contains(list.out,
		"outside of latitudes") ||
		!strings.Contains(list.err, "CC BY 4.0") {
		t.Errorf("exit %d: %s%s", list.code, list.out, list.err)
	}
}

// What --cover takes and refuses, all faults at once.
func TestCoverIsAClassOrRasters(t *testing.T) {
	link := []string{"link", "-84.2405,36.5565", "-84.1500,36.6500", "--height-m", "8", "--dem", demo + "dem"}
	for name, c := range map[string]struct{ args, want []string }{
		"neither": {[]string{"--cover", "marsh"}, []string{`found "marsh"`,
			"dense_urban, or a file or folder that exists"}},
		"not there": {[]string{"--cover", "a.tif", "--cover-heights", "b"}, []string{"cover: ", "a.tif",
			"cover-heights: ", "b", "no such file"}},
		"heights": {[]string{"--cover", demo + "dem"}, []string{"code ", "allowed 10 tree cover", "100 moss"}},
		"far too high": {[]string{"--cover-heights", demo + "dem"}, []string{"m at ",
			"allowed up to 500 m above the ground"}},
		"no places": {[]string{"--ground", write(t, "g.csv", []byte("dist_m,ground_m\n0,1\n900,2\n")), "--cover",
			demoCover}, []string{"--ground, which has no places"}},
		"written to it": {[]string{"--cover", demoCover, "--out", demoCover}, []string{"cover"}},
	} {
		args := append(append([]string(nil), link...), c.args...)
		if name == "no places" {
			args = append([]string{"link", "--height-m", "8"}, c.args...)
		}
		r := polereach(t, args...)
		if r.code == exitHolds || r.code == exitNotHeld {
			t.Errorf("%s: exit %d, %s", name, r.code, r.out)
		}
		for _, part := range c.want {
			if !strings.Contains(r.err, part) {
				t.Errorf("%s: %s lacks %q", name, r.err, part)
			}
		}
	}
}

// The commands take it all alike, and the picture shows it: green, hatched, in the key.
func TestCommandsTakeCover(t *testing.T) {
	long(t)
	plan := demo + "plan.geojson"
	for _, args := range [][]string{
		{"plan", plan}, {"site", "--pole", "Sorrel Ridge", plan}, {"coverage", "--pole", "Tanager Knob", "--radius-km",
			"3", plan},
		{"sheet", "--out", filepath.Join(t.TempDir(), "s.html"), plan}, {"spots", "--format", "json", plan},
		{"plan", "--format", "csv", plan}, {"site", "--pole", "Sorrel Ridge", "--format", "json", plan},
	} {
		with, without := polereach(t, append(args, "--cover", demoCover)...), polereach(t, args...)
		if with.code == exitFailed || with.code == exitUsage || args[0] != "sheet" && with.out == without.out {
			t.Errorf("%v: exit %d, %s", args, with.code, with.err)
		}
	}
	told := polereach(t, "site", "--pole", "Sorrel Ridge", "--format", "json", plan, "--cover", demoCover)
	if !strings.Contains(told.out, `"cover": "cover.tif"`) {
		t.Errorf("the settings do not tell the cover: %.300s", told.out)
	}
	const shown = demo + "path.svg"
	picture := filepath.Join(t.TempDir(), "path.svg")
	if *update {
		picture = shown
	}
	r := polereach(t, "link", "-84.2405,36.5565", "-84.2725,36.6258", "--height-m", "6", "--dem", demo+"dem",
		"--cover", demoCover,
		"--picture", picture)
	svg, err := os.ReadFile(picture)
	if kept, keptErr := os.ReadFile(shown); keptErr != nil || !bytes.Equal(kept, svg) {
		t.Errorf("%s is not what is drawn now, or %v", shown, keptErr)
	}
	if err != nil || !strings.Contains(string(svg), "what stands on it") || strings.Count(string(svg), "#009E73") < 50 {
		t.Errorf("%s%s: %v, %d green lines", r.out, r.err, err, strings.Count(string(svg), "#009E73"))
	}
}
