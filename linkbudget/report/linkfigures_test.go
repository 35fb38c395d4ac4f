package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"testing"

	"github.com/polereach/polereach/linkbudget/report"
)

// The heights of a link are those that its two poles have in the plan, whichever is its A,
// in each form and of a pair that nobody asked for too.
func TestLinksHaveTheHeightsOfTheirEnds(t *testing.T) {
	m := checked(t, `{"type":"FeatureCollection","features":[
		{"type":"Feature","properties":{"name":"a","height_m":4},"geometry":{"type":"Point","coordinates":[10,50]}},
		{"type":"Feature","properties":{"name":"b","height_m":7.25},"geometry":{"type":"Point","coordinates":[10.03,50]}},
		{"type":"Feature","properties":{"name":"Ash","height_m":12},"geometry":{"type":"Point","coordinates":[10.05,50]}},
		{"type":"Feature","properties":{"from":"b","to":"a"},"geometry":{"type":"LineString","coordinates":[[10.03,50],[10,50]]}}]}`, nil)
	heights := map[string]string{"a": "4", "b": "7.25", "Ash": "12"}
	links := 0
	same := func(form string, link map[string]any) {
		links++
		for end, key := range map[string]string{"from": "height_a_m", "to": "height_b_m"} {
			if got, want := fmt.Sprint(link[key]), heights[fmt.Sprint(link[end])]; got != want {
				t.Errorf("%s: %s of %v to %v is %s, want %s", form, key, link["from"], link["to"], got, want)
			}
		}
	}
	for _, l := range meshJSON(t, m)["links"].([]any) {
		same("JSON", l.(map[string]any))
	}
	var layer struct {
		Features []struct{ Properties map[string]any }
	}
	if err := json.Unmarshal(written(t, func(b *bytes.Buffer) error { return report.MeshGeoJSON(b, m) }),
		&layer); err != nil {
		t.Fatal(err)
	}
	for _, f := range layer.Features {
		if f.Properties["from"] != nil {
			same("GeoJSON", f.Properties)
		}
	}
	text := written(t, func(b *bytes.Buffer) error { return report.MeshCSV(b, m) })
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		link := map[string]any{}
		for k, v := range row {
			link[rows[0][k]] = v
		}
		same("CSV", link)
	}
	if links != 9 {
		t.Errorf("%d links in three forms, want 3 each", links)
	}
}
