package report_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/linkbudget/siting"
)

// A spot has what its own polygon and its own model state, also in a plan from which
// stations were taken since it was read, so that features have moved up.
func TestSpotsInheritFromAChangedPlan(t *testing.T) {
	const text = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"name":"Ash","panel_w":1},"geometry":{"type":"Point","coordinates":[10,50]}},
{"type":"Feature","properties":{"name":"Birch","cell_wh":20},"geometry":{"type":"Point","coordinates":[10.03,50]}},
{"type":"Feature","properties":{"name":"field","owner":"Mills"},"geometry":{"type":"Polygon","coordinates":[[[10,50],[10.1,50],[10.1,50.1],[10,50]]]}},
{"type":"Feature","properties":{"name":"wood","owner":"Carter"},"geometry":{"type":"Polygon","coordinates":[[[11,50],[11.1,50],[11.1,50.1],[11,50]]]}}]}`
	p, err := plan.Read("test.geojson", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	p.Stations = p.Stations[1:]
	spots := &report.Spots{Answer: &siting.Answer{Spots: []siting.Spot{{At: orb.Point{10.08, 50.04}, HeightM: 6}}},
		Like: &p.Stations[0]}
	var out bytes.Buffer
	if err := report.SpotsGeoJSON(&out, p, spots); err != nil {
		t.Fatal(err)
	}
	var file struct {
		Features []struct{ Properties map[string]any }
	}
	if err := json.Unmarshal(out.Bytes(), &file); err != nil {
		t.Fatal(err)
	}
	last := file.Features[len(file.Features)-1].Properties
	if last["name"] != "Spot 1" || last["owner"] != "Mills" || last["cell_wh"] != 20.0 || last["panel_w"] != nil {
		t.Errorf("the spot has %v", last)
	}
}

// Level ground may be water: the spots on it are named as they are above.
func TestSpotsOnLevelGroundAreCautioned(t *testing.T) {
	s := &report.Spots{Answer: &siting.Answer{Spots: []siting.Spot{{}, {Level: true}, {Level: true}}}}
	var out bytes.Buffer
	if err := report.SpotsText(&out, s); err != nil {
		t.Fatal(err)
	}
	if want := "caution: the ground is level as water is at Spot 2, Spot 3:"; !bytes.Contains(out.Bytes(), []byte(want)) {
		t.Errorf("no %q in\n%s", want, out.String())
	}
}
