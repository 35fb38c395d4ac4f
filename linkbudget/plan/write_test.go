package plan

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
)

// kept has everything polereach does not know in every place RFC 7946 lets it stand.
const kept = `{
  "type": "FeatureCollection", "name": "ridge", "bbox": [-85, 36, -84, 37], "generator": {"version": [1, 2.50, null]},
  "features": [
    {"id": "a-1", "type": "Feature", "bbox": [-84.25, 36.5, -84.25, 36.5], "stamp": 1e3,
     "geometry": {"note": "survey", "coordinates": [-84.250, 36.5], "type": "Point"},
     "properties": {"fid": 1, "name": "Old\u0020Mill", "owner": {"tel": null}, "height_m": 6.50, "panel_w": 6, "status": "standing", "photo": "a<b>&c.jpg"}},
    {"type": "Feature", "id": 7, "properties": {"from": "Old Mill", "to": "Fox Hill", "sf": 9.0, "required": null, "colour": "red"},
     "geometry": {"type": "LineString", "coordinates": [[-84.25, 36.5], [-84.2, 36.55], [-84.1, 36.6]]}},
    {"type": "Feature", "geometry": {"type": "Polygon", "coordinates": [[[0, 0], [1, 0], [1, 1], [0, 0]], [[0.5, 0.1], [0.6, 0.1], [0.6, 0.2], [0.5, 0.1]]]}},
    {"type": "Feature", "properties": {"name": "Fox Hill"}, "geometry": {"type": "Point", "coordinates": [-84.1, 36.6]}}
  ],
  "after": true
}`

func decode(t *testing.T, data []byte) (v any) {
	t.Helper()
	d := json.NewDecoder(strings.NewReader(string(data)))
	d.UseNumber() // digits count too
	if err := d.Decode(&v); err != nil {
		t.Fatal(err)
	}
	return v
}

func mustRead(t *testing.T, file string) *Plan {
	t.Helper()
	p, err := Read("plan.geojson", []byte(file))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func mustWrite(t *testing.T, p *Plan) []byte {
	t.Helper()
	out, err := p.GeoJSON()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestRoundTripKeepsEverything(t *testing.T) {
	p := mustRead(t, kept)
	out := mustWrite(t, p)
	if d := cmp.Diff(decode(t, []byte(kept)), decode(t, out)); d != "" {
		t.Error(d)
	}
	if q := mustRead(t, string(out)); !reflect.DeepEqual(p, q) {
		t.Errorf("read again: %+v, want %+v", q, p)
	}
	if lines := strings.Count(string(out), "\n"); lines != 4+2 {
		t.Errorf("%d lines, want one a feature and two more", lines)
	}
}

// A change reaches the file, and nothing beside it does.
func TestWriteChanges(t *testing.T) {
	p := mustRead(t, kept)
	mill, _ := p.Station("Old Mill")
	height, beam := 8.0, Omni
	mill.HeightM, mill.Beam, mill.Status = &height, &beam, Proposed
	p.Links[0].SF = nil
	p.Links[0].Required = false
	p.Areas[0].HeightM = &height
	want := strings.NewReplacer(`"height_m": 6.50`, `"height_m": 8`, `"status": "standing"`,
		`"status": "proposed", "beam": "omni"`, `"sf": 9.0, "required": null`, `"required": false`,
		`{"type": "Feature", "geometry": {"type": "Polygon"`,
		`{"type": "Feature", "properties": {"height_m": 8}, "geometry": {"type": "Polygon"`,
	).Replace(kept)
	if d := cmp.Diff(decode(t, []byte(want)), decode(t, mustWrite(t, p))); d != "" {
		t.Error(d)
	}
}

// A moved station loses the boxes that no longer hold, its own and the file's.
func TestWriteMovedStation(t *testing.T) {
	p := mustRead(t, kept)
	p.Stations[0].At = orb.Point{-84.3, 36.7}
	want := strings.NewReplacer(`[-84.250, 36.5], "type"`, `[-84.3, 36.7], "type"`, `"bbox": [-85, 36, -84, 37], `, "",
		`"bbox": [-84.25, 36.5, -84.25, 36.5], `, "").Replace(kept)
	if d := cmp.Diff(decode(t, []byte(want)), decode(t, mustWrite(t, p))); d != "" {
		t.Error(d)
	}
}

func TestWriteRemovedAndAdded(t *testing.T) {
	p := mustRead(t, kept)
	p.Areas, p.Links = nil, nil
	height := 5.0
	p.Stations = append(p.Stations, Station{Name: "Barn <3>", At: orb.Point{-84, 36.4}, Status: Proposed,
		HeightM: &height})
	out := mustWrite(t, p)
	if strings.Contains(string(out), `"bbox":[-85`) || !strings.Contains(string(out), `"after":true`) {
		t.Errorf("members of the file: %s", out)
	}
	if !strings.Contains(string(out), `"Barn <3>"`) {
		t.Errorf("the name is not readable: %s", out)
	}
	q := mustRead(t, string(out))
	if len(q.Stations) != 3 || len(q.Links) != 0 || len(q.Areas) != 0 {
		t.Fatalf("%+v", q)
	}
	barn := q.Stations[2]
	if barn.Name != "Barn <3>" || barn.At != (orb.Point{-84, 36.4}) || barn.Status != Proposed || *barn.HeightM != 5 ||
		barn.Feature != 2 {
		t.Errorf("%+v", barn)
	}
}

func TestWriteRemoved(t *testing.T) {
	p := mustRead(t, kept)
	p.Areas = nil
	if out := mustWrite(t, p); strings.Contains(string(out), `"bbox":[-85`) || strings.Contains(string(out), "Polygon") {
		t.Errorf("%s", out)
	}
}

func TestWriteByHand(t *testing.T) {
	p := &Plan{
		Stations: []Station{{Name: "A", At: orb.Point{1, 2}}, {Name: "B", At: orb.Point{3, 4}}},
		Links:    []Link{{From: "A", To: "B", Required: true, Line: orb.LineString{{1, 2}, {3, 4}}}},
	}
	want := `{"type":"FeatureCollection","features":[
		{"type":"Feature","properties":{"name":"A"},"geometry":{"type":"Point","coordinates":[1,2]}},
		{"type":"Feature","properties":{"name":"B"},"geometry":{"type":"Point","coordinates":[3,4]}},
		{"type":"Feature","properties":{"from":"A","to":"B"},"geometry":{"type":"LineString","coordinates":[[1,2],[3,4]]}}]}`
	if d := cmp.Diff(decode(t, []byte(want)), decode(t, mustWrite(t, p))); d != "" {
		t.Error(d)
	}
}

// What Read would refuse is not written.
func TestWriteRefuses(t *testing.T) {
	good := func() *Plan { return mustRead(t, kept) }
	number := func(v float64) *float64 { return &v }
	beam := "dish"
	for _, c := range []struct {
		name   string
		change func(*Plan)
		want   string
	}{
		{"nothing", func(p *Plan) { *p = Plan{} }, "features: found no Point among 0 features, allowed 1 or more: a Point is a station; draw the poles, or export their layer with the others"},
		{"NaN", func(p *Plan) { p.Stations[0].GainDBi = number(math.NaN()) }, `plan.geojson: feature 0 ("Old Mill"): gain_dbi: found NaN, allowed a number`},
		{"infinite", func(p *Plan) { p.Areas[0].HeightM = number(math.Inf(1)) }, `plan.geojson: feature 2: height_m: found +Inf, allowed a number`},
		{"nowhere", func(p *Plan) { p.Stations[0].At[0] = math.NaN() }, `plan.geojson: feature 0 ("Old Mill"): geometry.coordinates: json: unsupported value: NaN`},
		{"range", func(p *Plan) { p.Stations[1].HeightM = number(0) }, `plan.geojson: feature 3 ("Fox Hill"): height_m: found 0, allowed above 0 to 300 m`},
		{"word", func(p *Plan) { p.Stations[1].Beam = &beam }, `plan.geojson: feature 3 ("Fox Hill"): beam: found text "dish", allowed "omni", "sector"`},
		{"not UTF-8", func(p *Plan) { p.Areas[0].Name = "\xFF" }, `plan.geojson: feature 2 ("\xff"): name: found text that is not UTF-8, allowed UTF-8`},
		{"no name", func(p *Plan) { p.Stations = append(p.Stations, Station{}) }, `plan.geojson: feature 4: name: missing, allowed text: every Point is a station`},
		{"no ends", func(p *Plan) { p.Links[0].From, p.Links[0].To = "", "" }, `plan.geojson: feature 1: from: missing, allowed the name of a station
plan.geojson: feature 1: to: missing, allowed the name of a station`},
		{"renamed", func(p *Plan) { p.Stations[1].Name = "Fox" }, `plan.geojson: feature 1 ("Old Mill - Fox Hill"): to: found "Fox Hill", allowed the name of a station`},
		{"no line", func(p *Plan) { p.Links[0].Line = nil }, `plan.geojson: feature 1 ("Old Mill - Fox Hill"): geometry.coordinates: missing, allowed those of a LineString`},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := good()
			c.change(p)
			out, err := p.GeoJSON()
			if err == nil || err.Error() != c.want {
				t.Errorf("got %v, want %s", err, c.want)
			}
			if out != nil {
				t.Errorf("wrote %s", out)
			}
		})
	}
}
