package plan

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
)

const roadsFile = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"name":"A","height_m":5},"geometry":{"type":"Point","coordinates":[10,50]}},
{"type":"Feature","properties":{"name":"B","height_m":5},"geometry":{"type":"Point","coordinates":[10.1,50]}},
{"type":"Feature","properties":{"road":true,"name":"Mill Lane","from":null},"geometry":{"type":"LineString","coordinates":[[10,50.01],[10.05,50.02]]}},
{"type":"Feature","properties":{"from":"A","to":"B","road":false},"geometry":{"type":"LineString","coordinates":[[10,50],[10.1,50]]}},
{"type":"Feature","id":"way/7","properties":{"highway":"track","surface":"gravel","to_do":1},"geometry":{"type":"LineString","coordinates":[[10.2,50],[10.3,50],[10.3,50.1]]}},
{"type":"Feature","properties":{"name":"Common","panel_w":5,"cell_mah":null},"geometry":{"type":"Polygon","coordinates":[[[10,50],[10.1,50],[10.1,50.1],[10,50]]]}}
]}`

func TestRoadsAreNoLinks(t *testing.T) {
	p, err := Read("p.geojson", []byte(roadsFile))
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Links) != 1 || p.Links[0].From != "A" {
		t.Errorf("links %+v", p.Links)
	}
	var got []Road
	for _, w := range p.Roads {
		w.raw = nil
		got = append(got, w)
	}
	want := []Road{
		{Name: "Mill Lane", Line: orb.LineString{{10, 50.01}, {10.05, 50.02}}, Feature: 2},
		{Line: orb.LineString{{10.2, 50}, {10.3, 50}, {10.3, 50.1}}, Feature: 4},
	}
	if d := cmp.Diff(want, got, cmp.AllowUnexported(Road{})); d != "" {
		t.Error(d)
	}
	if len(p.Warnings) > 0 {
		t.Errorf("warnings %q", p.Warnings)
	}
	if raw, ok := p.Areas[0].Property("panel_w"); !ok || string(raw) != "5" {
		t.Errorf("panel_w is %q, %v", raw, ok)
	}
	if raw, ok := p.Areas[0].Property("cell_mah"); ok {
		t.Errorf("cell_mah null is %q", raw)
	}
}

func TestRoadsAreWrittenBack(t *testing.T) {
	p, err := Read("p.geojson", []byte(roadsFile))
	if err != nil {
		t.Fatal(err)
	}
	text, err := p.GeoJSON()
	if err != nil {
		t.Fatal(err)
	}
	for _, kept := range []string{`{"road":true,"name":"Mill Lane","from":null}`, `"id":"way/7"`,
		`{"highway":"track","surface":"gravel","to_do":1}`} {
		if !strings.Contains(string(text), kept) {
			t.Errorf("%s is missing in %s", kept, text)
		}
	}
	p.Roads[0].Name = "Mill Street"
	p.Roads = append(p.Roads, Road{Name: "New", Line: orb.LineString{{1, 2}, {3, 4}}})
	if text, err = p.GeoJSON(); err != nil {
		t.Fatal(err)
	}
	q, err := Read("p.geojson", text)
	if err != nil {
		t.Fatal(err)
	}
	if len(q.Roads) != 3 || q.Roads[0].Name != "Mill Street" || q.Roads[2].Name != "New" ||
		!q.Roads[2].Line.Equal(orb.LineString{{1, 2}, {3, 4}}) {
		t.Errorf("read again: %+v", q.Roads)
	}
}

func TestRoadFaultsComeTogether(t *testing.T) {
	const file = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"name":"A"},"geometry":{"type":"Point","coordinates":[10,50]}},
{"type":"Feature","properties":{"road":"perhaps","name":[7],"from":"A"},"geometry":{"type":"LineString","coordinates":[[10,95]]}}]}`
	_, err := Read("p.geojson", []byte(file))
	for _, want := range []string{"road: found", "allowed true", "name: found a list", "from: found on a road",
		"found latitude 95", "found 1 positions"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is missing in: %v", want, err)
		}
	}
}
