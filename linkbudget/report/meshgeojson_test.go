package report_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
)

// generic is a GeoJSON file as any reader sees it.
type generic struct {
	Members  map[string]any
	Features []map[string]any
}

func readGeneric(t *testing.T, text []byte) generic {
	t.Helper()
	var g generic
	if err := json.Unmarshal(text, &g.Members); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	for _, f := range g.Members["features"].([]any) {
		g.Features = append(g.Features, f.(map[string]any))
	}
	delete(g.Members, "features")
	return g
}

// Nothing of the input is lost: every feature, foreign member and property is
// there with its value, under its name or, where a figure took that, input_NAME.
func TestMeshGeoJSONKeepsTheInput(t *testing.T) {
	m := checked(t, meshPlan, nil)
	text := written(t, func(b *bytes.Buffer) error { return report.MeshGeoJSON(b, m) })
	in, out := readGeneric(t, []byte(meshPlan)), readGeneric(t, text)
	for key, want := range in.Members {
		if !reflect.DeepEqual(out.Members[key], want) {
			t.Errorf("member %q is %v, want %v", key, out.Members[key], want)
		}
	}
	if len(out.Features) != len(in.Features)+5 { // 6 pairs, one of them a link of the plan
		t.Errorf("%d features, want %d", len(out.Features), len(in.Features)+5)
	}
	renamed := map[string]string{"0 verdict": "verdict", "1 hops": "input_input_hops", "4 margin_db": "input_margin_db",
		"0 part": "null"}
	for i, f := range in.Features {
		for key, want := range f {
			if key != "properties" && !reflect.DeepEqual(out.Features[i][key], want) {
				t.Errorf("feature %d: %s is %v, want %v", i, key, out.Features[i][key], want)
			}
		}
		props := out.Features[i]["properties"].(map[string]any)
		for key, want := range f["properties"].(map[string]any) {
			name := key
			if other, ok := renamed[fmt.Sprint(i, " ", key)]; ok {
				name = other
			}
			if name != "null" && !reflect.DeepEqual(props[name], want) {
				t.Errorf("feature %d: property %s is %v under %s, want %v", i, key, props[name], name, want)
			}
		}
	}
	if !bytes.Contains(text, []byte(`"since":[1990,1.50]`)) || !bytes.Contains(text, []byte("50.000]")) {
		t.Error("digits of the input were written anew")
	}
	if props := out.Features[4]["properties"].(map[string]any); props["margin_db"] == "thin" ||
		props["verdict"] != "reaches" {
		t.Errorf("the link has margin %v, verdict %v", props["margin_db"], props["verdict"])
	}
}

// Read by our own reader it is the same plan again, and no new warning; checked
// again it gives the same file; and its state is that of the mesh.
func TestMeshGeoJSONIsAPlanAgain(t *testing.T) {
	m := checked(t, meshPlan, nil)
	text := written(t, func(b *bytes.Buffer) error { return report.MeshGeoJSON(b, m) })
	p, err := plan.Read("test.geojson", text)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Stations) != 4 || len(p.Links) != 1 || len(p.Results) != 5 || len(p.Areas) != 1 ||
		!reflect.DeepEqual(p.Warnings, m.Plan.Warnings) {
		t.Errorf("%d stations, %d links, %d results, %d areas, warnings %v, had %v",
			len(p.Stations), len(p.Links), len(p.Results), len(p.Areas), p.Warnings, m.Plan.Warnings)
	}
	if !p.Links[0].Required {
		t.Error("the link of the input is not required any more")
	}
	state, found, err := report.ReadMeshState(text)
	if err != nil || !found || !reflect.DeepEqual(state, report.NewMeshState(m)) {
		t.Errorf("found %v, %v; the state read back is not that of the mesh", found, err)
	}
	again := checked(t, string(text), nil)
	d := report.CompareMeshes("again", report.NewMeshState(m), report.NewMeshState(again))
	if d.Same != 6 || len(d.Better)+len(d.Worse)+len(d.Added)+len(d.Lost) != 0 {
		t.Errorf("checked again it differs: %+v", d)
	}
	twice := written(t, func(b *bytes.Buffer) error { return report.MeshGeoJSON(b, again) })
	if bytes.Contains(twice, []byte("input_verdict\":\"reaches")) || bytes.Contains(twice, []byte("input_distance_m")) {
		t.Errorf("our own figures were taken for the user's:\n%s", twice)
	}
	if !bytes.Equal(twice, text) {
		t.Errorf("the second time it is another file:\n%s\nwas\n%s", twice, text)
	}
	// The pairs of the first run come but once; what the user drew so stays.
	drawn := `{"type":"Feature","properties":{"wanted":false,"note":"mine"},"geometry":{"type":"LineString","coordinates":[[10,50],[10.1,50]]}},`
	mixed := strings.Replace(string(text), `"features":[`, `"features":[`+drawn, 1)
	mixedAgain := readGeneric(t, written(t, func(b *bytes.Buffer) error {
		return report.MeshGeoJSON(b, checked(t, mixed, nil))
	}))
	if want := len(readGeneric(t, text).Features) + 1; len(mixedAgain.Features) != want {
		t.Errorf("%d features, want %d", len(mixedAgain.Features), want)
	}
}
