package plan_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/plan"
)

const ash, birch = `{"type":"Feature","properties":{"name":"Ash"},"geometry":{"type":"Point","coordinates":[10,50]}}`,
	`{"type":"Feature","properties":{"name":"Birch"},"geometry":{"type":"Point","coordinates":[10.1,50]}}`

func lines(t *testing.T, props ...string) *plan.Plan {
	t.Helper()
	features := []string{ash, birch}
	for _, p := range props {
		features = append(features, `{"type":"Feature","properties":{`+p+`},"geometry":{"type":"LineString","coordinates":[[10,50],[10.1,50]]}}`)
	}
	p, err := plan.Read("", []byte(`{"type":"FeatureCollection","features":[`+strings.Join(features, ",")+`]}`))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A result is no link, be it beside the link of the same pair, of a pole that is
// gone, or with keys that would be faults or slips of a link; and it is kept.
func TestResultsAreNoLinks(t *testing.T) {
	p := lines(t, `"from":"Ash","to":"Birch","sf":9`,
		`"from":"Ash","to":"Birch","required":false,"wanted":false,"margin_db":4.250`,
		`"from":"Ash","to":"Gone","wanted":false,"required":false`,
		`"wanted":false,"sf":"none","height_m":-3`)
	if len(p.Links) != 1 || len(p.Results) != 3 || len(p.Warnings) != 0 || p.Results[1].Feature != 4 {
		t.Fatalf("%d links, %d results, warnings %v", len(p.Links), len(p.Results), p.Warnings)
	}
	text, err := p.GeoJSON()
	if err != nil || !bytes.Contains(text, []byte(`"margin_db":4.250`)) || bytes.Count(text, []byte("LineString")) != 4 {
		t.Errorf("%v; not all is kept:\n%s", err, text)
	}
	p.Results = p.Results[:1]
	if text, err = p.GeoJSON(); err != nil || bytes.Count(text, []byte("LineString")) != 2 {
		t.Errorf("%v; two results taken out are there still:\n%s", err, text)
	}
}

func TestOtherLinesAreLinksStill(t *testing.T) {
	for _, mark := range []string{`"wanted":true`, `"wanted":null`, `"wanted":1`, `"wanted":""`, `"wanted":"perhaps"`,
		`"unwanted":false`, `"required":false`} {
		if p := lines(t, `"from":"Ash","to":"Birch",`+mark); len(p.Links) != 1 || len(p.Results) != 0 {
			t.Errorf("%s: %d links, %d results, want a link", mark, len(p.Links), len(p.Results))
		}
	}
}

func TestGeometryOfResultsIsChecked(t *testing.T) {
	_, err := plan.Read("", []byte(`{"type":"FeatureCollection","features":[`+ash+`,
		{"type":"Feature","properties":{"wanted":false},"geometry":{"type":"LineString","coordinates":[[10,50],[10,95]]}}]}`))
	if err == nil || !strings.Contains(err.Error(), "95") {
		t.Errorf("%v, want the latitude refused", err)
	}
}
