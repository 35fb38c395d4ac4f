package plan

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/landcover"
)

// barn is invented: a wood with a clearing, a barn in it of which only the height is told, and houses
// of no stated height.
const barn = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"name":"Ash"},"geometry":{"type":"Point","coordinates":[10.01,49.99]}},
{"type":"Feature","id":7,"properties":{"stands":"Wood","top_m":"18 m","seen":2024},"geometry":{"type":"MultiPolygon","coordinates":[[[[10,49.98],[10.02,49.98],[10.02,50],[10,50],[10,49.98]],[[10.005,49.99],[10.006,49.99],[10.006,49.991],[10.005,49.99]]]]}},
{"type":"Feature","properties":{"name":"Barn","top_m":6.50},"geometry":{"type":"Polygon","coordinates":[[[10.011,49.985],[10.0112,49.985],[10.0112,49.9852],[10.011,49.985]]]}},
{"type":"Feature","properties":{"stands":"urban"},"geometry":{"type":"Polygon","coordinates":[[[10.02,49.98],[10.03,49.98],[10.03,50],[10.02,49.98]]]}}]}`

func TestWhatStandsIsRead(t *testing.T) {
	p := mustRead(t, barn)
	if len(p.Cover) != 3 || len(p.Areas) != 0 || p.Cover[1].Name != "Barn" || *p.Cover[0].Stands != "wood" {
		t.Fatalf("%+v", p)
	}
	if problem := roundTrip(p, []byte(barn)); problem != "" {
		t.Error(problem)
	}
	dem, err := p.OnTerrain(&terrain.Grid{})
	if err != nil {
		t.Fatal(err)
	}
	_, cover := terrain.GroundAndCover(dem)
	at := []orb.Point{{10.001, 49.999}, {10.0058, 49.9905}, {10.01115, 49.9851}, {10.028, 49.981}, {11, 49}}
	out := make([]terrain.Standing, len(at))
	if err := cover.Standing(at, out); err != nil ||
		fmt.Sprint(out) != "[{wood 18 drawn} {unknown 0} {suburban 6.5 drawn} {urban 0 drawn} {unknown 0}]" {
		t.Errorf("%v, %v", out, err)
	}
}

// Of a MultiPolygon each part is an outline with its holes, also where one lies in another's hole or over it.
func TestPartsOfWhatStands(t *testing.T) {
	square := func(w, s, size float64) string {
		return fmt.Sprintf("[[%g,%g],[%g,%[2]g],[%[3]g,%[4]g],[%[1]g,%[4]g],[%[1]g,%[2]g]]", w, s, w+size, s+size)
	}
	wood := func(props string, parts ...string) string {
		return feature(props, `{"type":"MultiPolygon","coordinates":[`+strings.Join(parts, ",")+`]}`)
	}
	parts := []string{"[" + square(10, 50, 1) + "," + square(10.2, 50.2, 0.4) + "]", "[" + square(10.3, 50.3, 0.1) + "]",
		"[" + square(10.9, 50.9, 0.3) + "]"}
	text := collection(point("Ash", ""), wood(`{"name":"Two woods","stands":"wood"}`, parts...))
	p := mustRead(t, text)
	if problem := roundTrip(p, []byte(text)); problem != "" {
		t.Error(problem)
	}
	dem, err := p.OnTerrain(&terrain.Grid{})
	if err != nil {
		t.Fatal(err)
	}
	_, cover := terrain.GroundAndCover(dem)
	at := []orb.Point{{10.1, 50.1}, {10.25, 50.25}, {10.35, 50.35}, {10.95, 50.95}, {11.1, 51.1}, {11.1, 50.1}}
	out := make([]terrain.Standing, len(at))
	if err := cover.Standing(at, out); err != nil {
		t.Fatal(err)
	}
	for i, want := range []bool{true, false, true, true, true, false} {
		if out[i].Drawn != want {
			t.Errorf("%v: %v, want wood: %v", at[i], out[i], want)
		}
	}
	p.Cover[0].Parts = p.Cover[0].Parts[:1] // what is taken away is not written
	written, err := p.GeoJSON()
	if err != nil || !strings.Contains(string(written), `"Polygon"`) || strings.Contains(string(written), "50.3") {
		t.Errorf("%s, %v", written, err)
	}
	for _, c := range []struct{ feature, want string }{
		{wood(`{"top_m":8}`, parts[0], "[[[1,1],[2,1],[2,2]]]"), "geometry.coordinates[1][0]: found 3 positions, allowed 4"},
		{wood(`{"top_m":8}`, parts[0], "[[[1,1],[2,1],[2,95],[1,1]]]"), "geometry.coordinates[1][0][2]: found latitude 95"},
		{wood(`{"top_m":8}`, parts[0], "[[[179,1],[-179,1],[-179,2],[179,1]]]"), "geometry.coordinates[1][0][1]: found longitude"},
		{wood(`{"top_m":8}`, parts[0], "[[[1,1],[2,1],[1,1],[1,1]]]"), "geometry.coordinates[1][0]: found all positions on one"},
		{wood(`{"top_m":8}`, "[[[1,1],[1,1],[1,1],[1,1]]]"), "geometry.coordinates[0]: found all positions on one straight"},
		{wood(`{"top_m":8}`, parts[0], "[]"), "geometry.coordinates[1]: found no ring"},
		{wood(`{"top_m":8}`, parts[0], "7"), "geometry.coordinates[1]: found 7, allowed a list of rings"},
		{wood(`{"status":"searchable"}`, parts[0], parts[1]), "found MultiPolygon of 2 parts"},
	} {
		if _, err := Read("p", []byte(collection(point("Ash", ""), c.feature))); err == nil ||
			!strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}

// what answers alike everywhere.
type everywhere terrain.Standing

func (e everywhere) Standing(_ []orb.Point, out []terrain.Standing) error {
	for i := range out {
		out[i] = terrain.Standing(e)
	}
	return nil
}

// A plan lies over the cover of the terrain, in the place of another plan, and leaves nothing where it
// says nothing.
func TestPlansTakeTurnsOnTheTerrain(t *testing.T) {
	with, without := mustRead(t, barn), mustRead(t, collection(point("Ash", "")))
	grid, under := &terrain.Grid{}, everywhere{Class: terrain.CoverOpen}
	covered := terrain.WithCover(grid, under)
	for _, of := range []terrain.DEM{grid, covered} {
		once, err := with.OnTerrain(of)
		if err != nil {
			t.Fatal(err)
		}
		again, err := with.OnTerrain(once)
		if err != nil {
			t.Fatal(err)
		}
		back, err := without.OnTerrain(again)
		if err != nil || back != of {
			t.Errorf("back is %v, %v, want %v", back, err, of)
		}
		if same, err := without.OnTerrain(of); err != nil || same != of {
			t.Errorf("a plan without: %v, %v", same, err)
		}
		at, a, b := []orb.Point{{10.001, 49.999}, {11, 49}}, make([]terrain.Standing, 2), make([]terrain.Standing, 2)
		_, first := terrain.GroundAndCover(once)
		_, second := terrain.GroundAndCover(again)
		if err := first.Standing(at, a); err != nil {
			t.Fatal(err)
		}
		if err := second.Standing(at, b); err != nil || fmt.Sprint(a) != fmt.Sprint(b) || a[0].Class != terrain.CoverWood {
			t.Errorf("laid twice: %v, once %v, %v", b, a, err)
		}
		if alone := first.(terrain.Outlined).Alone(); alone != (of == terrain.DEM(grid)) {
			t.Errorf("alone %v over %v", alone, of)
		}
	}
	moved := mustRead(t, strings.Replace(barn, "10.0112,49.9852", "10.0112,49.9853", 1))
	if !with.SameCover(mustRead(t, barn)) || with.SameCover(moved) || with.SameCover(without) {
		t.Error("plans of one cover are told apart, or those of two are not")
	}
}

func TestFaultsOfWhatStands(t *testing.T) {
	square := func(props string) string {
		return feature(props, `{"type":"Polygon","coordinates":[[[1,1],[2,1],[2,2],[1,1]]]}`)
	}
	for props, want := range map[string][]string{
		`{"stands":"trees"}`:                    {`stands: found text "trees", allowed "water", "open", "suburban", "wood"`},
		`{"top_m":0}`:                           {"top_m: found 0, allowed above 0 to 100 m"},
		`{"stands":"wood","top_m":101}`:         {"top_m: found 101"},
		`{"stands":"open","top_m":5}`:           {`top_m: found beside stands "open"`},
		`{"stands":"wood","height_m":18}`:       {"height_m: found beside what stands there", "top_m"},
		`{"top_m":3,"status":"searchable"}`:     {"status: found beside what stands there"},
		`{"Stands":"wood"}`:                     {`Stands: found a key that is not read, allowed "stands"`},
		`{"top_ft":30}`:                         {`top_ft: found a key that is not read, allowed "top_m"`, "0.3048"},
		`{"stands":"barn","top_m":-1,"beam":1}`: {"stands: found", "top_m: found -1"},
	} {
		_, err := Read("p", []byte(collection(point("Ash", ""), square(props))))
		for _, w := range want {
			if err == nil || !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %v, want %q", props, err, w)
			}
		}
	}
	wood := func(coordinates string) string {
		return feature(`{"stands":"wood"}`, `{"type":"Polygon","coordinates":`+coordinates+`}`)
	}
	many := "[[[1,1]" + strings.Repeat(",[1.5,1],[1.5,2]", landcover.MaxPositions/2) + ",[1,1]]]"
	for coordinates, want := range map[string]string{
		`[[[179,1],[-179,1],[-179,2],[179,1]]]`: "geometry.coordinates[0][1]: found longitude -179 after 179",
		`[[[1,1],[2,1],[2,2]]]`:                 "found 3 positions, allowed 4 or more",
		`[[[1,1],[2,1],[2,2],[1,3]]]`:           "found an open ring",
		many: "found 200002 positions in the Polygons that say what stands there, " +
			"allowed 200000",
	} {
		if _, err := Read("p", []byte(collection(point("Ash", ""), wood(coordinates)))); err == nil ||
			!strings.Contains(err.Error(), want) {
			t.Errorf("%.300v, want %q", err, want)
		}
	}
	// What a Polygon of a map says else makes no cover of it.
	if p := mustRead(t, collection(point("Ash", ""),
		square(`{"cover":"forest","top_m":null,"stands":""}`))); len(p.Areas) != 1 {
		t.Errorf("%+v", p)
	}
}
