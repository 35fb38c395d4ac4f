package main

import (
	"encoding/json"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

func TestCoverageGolden(t *testing.T) {
	plan := demo + "plan.geojson"
	for _, c := range []struct {
		file string
		code int
		args []string
	}{
		{"coverage.txt", exitHolds, []string{"coverage", "--pole", "Tanager Knob", "--radius-km", "4", plan}},
		{"coverage.json", exitHolds, []string{"coverage", plan, "--pole", "Tanager Knob", "--radius-km", "4", "--format", "json", "--levels", "50, 95"}},
		{"coverage_time.txt", exitHolds, []string{"coverage", "--pole", "Tanager Knob", "--radius-km", "4", "--time-percent", "99", plan}},
		{"coverage_edge.txt", exitHolds, []string{"coverage", "--at", "-84.09,36.7", "--height-m", "6", "--radius-km", "5", plan}},
		{"coverage_several.txt", exitHolds, []string{"coverage", "--pole", "Tanager Knob", "--pole", "Long Bench", "--radius-km", "3", "--cell-m", "200", plan}},
		{"coverage_several.json", exitHolds, []string{"coverage", "--pole", "Tanager Knob", "--pole", "Long Bench", "--radius-km", "3", "--cell-m", "200", "--format", "json", plan}},
		{"coverage_area.txt", exitHolds, []string{"coverage", "--pole", "Tanager Knob", "--radius-km", "4", "--area", "-84.25,36.48,-84.22,36.5", plan}},
		{"help_coverage.txt", exitHolds, []string{"coverage", "--help"}},
	} {
		t.Run(c.file, func(t *testing.T) {
			r := polereach(t, c.args...)
			if r.code != c.code || r.err != "" {
				t.Errorf("exit %d, want %d; stderr %q", r.code, c.code, r.err)
			}
			golden(t, c.file, r.out)
		})
	}
}

// Half of the area without an answer, or a pole on unknown ground, is no answer; the
// edge of the terrain at the rim is.
func TestCoverageWithoutTerrain(t *testing.T) {
	plan := demo + "plan.geojson"
	// A quarter of a circle round the tile's corner lies inside.
	r := polereach(t, "coverage", "--at", "-84.001,36.999", "--height-m", "6", "--radius-km", "5", "--fill-voids-m", "0",
		plan)
	if r.code != exitUnjudged {
		t.Errorf("exit %d: %s%s", r.code, r.out, r.err)
	}
	r = polereach(t, "coverage", "--at", "10.5,50.5", "--height-m", "6", "--radius-km", "5", plan)
	if r.code != exitUnjudged || r.out != "" || !strings.Contains(r.err, "tile N50E010 is missing") ||
		!strings.Contains(r.err, "longitude -85 to -84, latitude 36 to 37") {
		t.Errorf("exit %d: %s%s", r.code, r.out, r.err)
	}
}

// A new pole outside the terrain cannot be judged, whatever is in range of it, and
// exchanged coordinates are told (the demonstration tile is N36W085).
func TestSiteOutsideTheTerrain(t *testing.T) {
	for at, want := range map[string][]string{
		"10.5,50.5":    {"UNKNOWN", "tile N50E010 is missing", "-85 to -84, latitude 36 to 37"},
		"36.55,-84.24": {"UNKNOWN", "tile S85E036 is missing", "swapped"},
		"-83.9,36.6":   {"UNKNOWN", "tile N36W084 is missing"},
	} {
		r := polereach(t, "site", "--at", at, "--height-m", "6", demo+"plan.geojson")
		text := strings.Join(strings.Fields(r.out), " ")
		for _, w := range want {
			if r.code != exitUnjudged || !strings.Contains(text, w) {
				t.Errorf("%s: exit %d, lacks %q:\n%s%s", at, r.code, w, r.out, r.err)
			}
		}
	}
}

// Every file is read back by a reader that is not its writer's twin.
func TestCoverageFiles(t *testing.T) {
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	r := polereach(t, "coverage", "--pole", "Tanager Knob", "--radius-km", "3", "--png", file("a.png"), "--asc",
		file("a.asc"), "--quantity", "margin", "--geojson-contours", file("a.geojson"), demo+"plan.geojson")
	if r.code != exitHolds || r.err != "" {
		t.Fatalf("exit %d, stderr %q", r.code, r.err)
	}
	f, err := os.Open(file("a.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := png.Decode(f); err != nil {
		t.Error(err)
	}
	world, err := os.ReadFile(file("a.pgw"))
	if err != nil || strings.Count(string(world), "\n") != 6 {
		t.Errorf("world file %q: %v", world, err)
	}
	sources, err := terrain.OpenSources(os.DirFS(dir), "a.asc")
	if err != nil {
		t.Fatal(err)
	}
	grid, err := sources[0].Load()
	if err != nil {
		t.Fatal(err)
	}
	known := 0
	for _, v := range grid.HeightM {
		if !terrain.IsVoid(v) {
			known++
		}
	}
	if known < 3000 || known == len(grid.HeightM) {
		t.Errorf("%d of %d cells of the grid have a margin", known, len(grid.HeightM))
	}
	text, err := os.ReadFile(file("a.geojson"))
	if err != nil {
		t.Fatal(err)
	}
	var contours struct {
		Features []struct {
			Geometry struct {
				Type        string
				Coordinates [][][][2]float64
			}
		}
	}
	if err := json.Unmarshal(text, &contours); err != nil {
		t.Fatal(err)
	}
	if len(contours.Features) != 4 || contours.Features[0].Geometry.Type != "MultiPolygon" ||
		len(contours.Features[0].Geometry.Coordinates) == 0 {
		t.Errorf("contours: %d features", len(contours.Features))
	}
}

// Who carries a cell and from how many poles, as grids: one for every pole, no more than
// there are, and nobody where the other grid says so.
func TestCoverageFilesOfSeveralPoles(t *testing.T) {
	dir := t.TempDir()
	grids := map[string][]float32{}
	for _, q := range []string{"who", "how-many"} {
		r := polereach(t, "coverage", "--pole", "Tanager Knob", "--pole", "Long Bench", "--radius-km", "3", "--quantity", q,
			"--asc", filepath.Join(dir, q+".asc"), "--png", filepath.Join(dir, q+".png"), demo+"plan.geojson")
		if r.code != exitHolds || r.err != "" {
			t.Fatalf("exit %d, stderr %q", r.code, r.err)
		}
		if info, err := os.Stat(filepath.Join(dir, q+".png")); err != nil || info.Size() < 5000 {
			t.Errorf("picture: %v", err)
		}
		sources, err := terrain.OpenSources(os.DirFS(dir), q+".asc")
		if err != nil {
			t.Fatal(err)
		}
		g, err := sources[0].Load()
		if err != nil {
			t.Fatal(err)
		}
		grids[q] = g.HeightM
	}
	if len(grids["who"]) != len(grids["how-many"]) {
		t.Fatalf("%d and %d cells", len(grids["who"]), len(grids["how-many"]))
	}
	seen := map[float32]int{}
	for i, who := range grids["who"] {
		many := grids["how-many"][i]
		if terrain.IsVoid(who) != terrain.IsVoid(many) || (who == 0) != (many == 0) || who > 2 || many > 2 {
			t.Fatalf("cell %d: who %g, how many %g", i, who, many)
		}
		seen[who]++
	}
	if seen[0] == 0 || seen[1] == 0 || seen[2] == 0 {
		t.Errorf("who carries %v", seen)
	}
	if prj, err := os.ReadFile(filepath.Join(dir, "who.prj")); err != nil || !strings.HasPrefix(string(prj), "GEOGCS") {
		t.Errorf("coordinate system %q: %v", prj, err)
	}
}

func TestCoverageBadInput(t *testing.T) {
	p := demo + "plan.geojson"
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"--pole", "Tanager Nob", p}, []string{"did you mean \"Tanager Knob\""}},
		{[]string{p}, []string{"give --pole NAME"}},
		{[]string{"--pole", "Tanager Knob", "--at", "-84,36", p}, []string{"not both"}},
		{[]string{"--pole", "Tanager Knob", "--radius-km", "0", "--levels", "50,x", "--quantity", "volts", "--memory-mib", "0", p}, []string{"radius-km", "levels", "quantity", "memory-mib"}},
		{[]string{"--pole", "Tanager Knob", "--area", "-84.25,36.48,-84.22", p}, []string{"area", "WEST,SOUTH,EAST,NORTH"}},
		{[]string{"--pole", "Tanager Knob", "--area", "-84.25,96,-84.22,x", p}, []string{"south-west corner", "north-east corner"}},
		{[]string{"--pole", "Tanager Knob", "--area", "-84.25,36.5,-84.22,36.4", p}, []string{"below the northern"}},
		{[]string{"--pole", "Tanager Knob", "--area", "-80,30,-79,31", p}, []string{"no cell of the area"}},
		{[]string{"--pole", "Tanager Knob", "--pole", "Long Bench", "--quantity", "loss", p}, []string{"several poles", "who, how-many"}},
		{[]string{"--pole", "Tanager Knob", "--quantity", "who", p}, []string{"who is of several poles", "margin, loss"}},
		{[]string{"--pole", "Tanager Knob", "--radius-km", "250", "--memory-mib", "20", p}, []string{"would fit"}},
		{[]string{"--pole", "Tanager Knob", "--receiver-height-m", "-2", p}, []string{"height_m"}},
		{[]string{"--pole", "Tanager Knob", "--cover", "wood", "--bare-earth", p}, []string{"cover"}},
	} {
		r := polereach(t, append([]string{"coverage"}, c.args...)...)
		if r.code != exitUsage || r.out != "" {
			t.Errorf("%v: exit %d, stdout %q", c.args, r.code, r.out)
		}
		for _, want := range c.want {
			if !strings.Contains(r.err, want) {
				t.Errorf("%v: %q is missing in %q", c.args, want, r.err)
			}
		}
	}
}

func TestFindPoleKeepsTheStation(t *testing.T) {
	h := 4.0
	p := &plan.Plan{Stations: []plan.Station{{Name: "Mill", HeightM: &h}}}
	if st, err := stationNamed(p, "pole", "Mill"); err != nil || st.HeightM != &h {
		t.Errorf("%+v, %v", st, err)
	}
}
