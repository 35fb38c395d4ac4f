package report_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
)

// meshPlan has everything a GIS may add: foreign members, an id, nested and
// null properties, keys that are also names of our figures, a polygon, and a
// station without terrain.
const meshPlan = `{"type":"FeatureCollection","name":"my layer","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:OGC:1.3:CRS84"}},"features":[
{"type":"Feature","id":7,"properties":{"name":"Ash","verdict":"mine","part":null,"owner":{"since":[1990,1.50]}},"geometry":{"type":"Point","coordinates":[10,50.000]},"tags":["a"]},
{"type":"Feature","properties":{"name":"Birch, \"old\"","input_hops":"mine too","hops":"mine"},"geometry":{"type":"Point","coordinates":[10.03,50]}},
{"type":"Feature","properties":{"name":"A pole with a very long name indeed","status":"proposed"},"geometry":{"type":"Point","coordinates":[10.1,50]}},
{"type":"Feature","properties":{"name":"Elder"},"geometry":{"type":"Point","coordinates":[10.4,50]}},
{"type":"Feature","properties":{"from":"Ash","to":"Birch, \"old\"","margin_db":"thin","note":"<b>"},"geometry":{"type":"LineString","coordinates":[[10,50],[10.02,50.01],[10.03,50]]}},
{"type":"Feature","properties":{"name":"field","status":"searchable"},"geometry":{"type":"Polygon","coordinates":[[[10,50],[10.1,50],[10.1,50.1],[10,50]]]}}]}`

func checked(t testing.TB, text string, change func(*mesh.Options)) *mesh.Mesh {
	t.Helper()
	p, err := plan.Read("test.geojson", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	opt := mesh.Options{Gateways: []string{"Ash"}, SiteOptions: mesh.SiteOptions{
		PacketsPerHour: 6, Band: "eu868",
		Settings: plan.Settings{Station: linkbudget.DefaultStation("", 8),
			Environment: linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}},
	}}
	if change != nil {
		change(&opt)
	}
	m, err := mesh.Check(context.Background(), p, cone{}, opt)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func written(t testing.TB, write func(*bytes.Buffer) error) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := write(&buf); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func meshJSON(t testing.TB, m *mesh.Mesh) map[string]any {
	t.Helper()
	var v map[string]any
	text := written(t, func(b *bytes.Buffer) error { return report.MeshJSON(b, m) })
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return v
}

// The keys are a promise; those of a link are the keys of command site.
func TestMeshJSONKeys(t *testing.T) {
	v := meshJSON(t, checked(t, meshPlan, nil))
	for _, key := range []string{"schema", "command", "settings", "verdict", "connected", "reached", "of", "poles",
		"links", "parts", "alone", "cut_poles", "bridges", "single_route", "gateways", "airtime_ms", "cautions"} {
		if _, ok := v[key]; !ok {
			t.Errorf("no key %q", key)
		}
	}
	if v["schema"] != 1.0 || v["command"] != "plan" {
		t.Errorf("schema %v, command %v", v["schema"], v["command"])
	}
	first := v["links"].([]any)[0].(map[string]any)
	ofSite := siteObject(t, report.SiteOptions{})["links"].([]any)[0].(map[string]any)
	for key := range first {
		switch key {
		case "role", "joined_pairs", "redundant_pairs", "detour_transmissions", "from", "beyond_rules":
		default:
			if _, ok := ofSite[key]; !ok {
				t.Errorf("link has key %q, which a link of site has not", key)
			}
		}
	}
	if first["to"] != `Birch, "old"` && first["from"] != `Birch, "old"` {
		t.Errorf("first link is %v - %v", first["from"], first["to"])
	}
}

// What is shown adds up: loss from its terms, doubt from its squares, both
// margins from level and sensitivity; the weaker direction is the link.
func TestMeshJSONAddsUp(t *testing.T) {
	var v struct {
		Links []struct {
			Verdict, Path string
			Terms, Doubt  []named
			Loss          float64 `json:"loss_db"`
			Sigma         float64 `json:"sigma_db"`
			Margin        float64 `json:"margin_db"`
			Directions    []struct {
				Rx          float64 `json:"rx_dbm"`
				Sensitivity float64 `json:"sensitivity_dbm"`
				Margin      float64 `json:"margin_db"`
			}
		}
	}
	m := checked(t, meshPlan, nil)
	text := written(t, func(b *bytes.Buffer) error { return report.MeshJSON(b, m) })
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	judged := 0
	for i, l := range v.Links {
		if l.Verdict == "unknown" {
			if l.Path != "" || l.Loss != 0 || len(l.Terms)+len(l.Directions) > 0 {
				t.Errorf("link %d is unknown and has figures: %+v", i, l)
			}
			continue
		}
		judged++
		near := func(what string, got, want float64) {
			if !(math.Abs(got-want) <= 0.003) {
				t.Errorf("link %d: %s %.4f, want %.4f", i, what, got, want)
			}
		}
		near("loss", total(l.Terms, same), l.Loss)
		near("doubt", math.Sqrt(total(l.Doubt, square)), l.Sigma)
		weaker := math.Inf(1)
		for _, d := range l.Directions {
			near("margin", d.Rx-d.Sensitivity, d.Margin)
			weaker = min(weaker, d.Margin)
		}
		near("weaker margin", weaker, l.Margin)
	}
	if judged != 3 || len(v.Links) != 6 {
		t.Errorf("%d of %d links judged, want 3 of 6", judged, len(v.Links))
	}
}

// RFC 4180: every row as wide as the header, CR LF, quotes where needed; and
// the figures are those of the JSON, in the same order.
func TestMeshCSV(t *testing.T) {
	m := checked(t, meshPlan, nil)
	text := written(t, func(b *bytes.Buffer) error { return report.MeshCSV(b, m) })
	if n, crlf := bytes.Count(text, []byte("\n")), bytes.Count(text, []byte("\r\n")); n != 7 || crlf != 7 {
		t.Errorf("%d lines, %d of them ended by CR LF, want 7", n, crlf)
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll() // refuses rows of another width
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for k, key := range rows[0] {
		column[key] = k
	}
	links := meshJSON(t, m)["links"].([]any)
	for i, row := range rows[1:] {
		l := links[i].(map[string]any)
		for _, key := range []string{"from", "to", "wanted", "required", "verdict", "distance_m", "loss_db", "margin_db",
			"sigma_db", "probability", "delivery", "clearance_f1", "path"} {
			want := ""
			if v, ok := l[key]; ok {
				want = fmt.Sprint(v)
			}
			if f, ok := l[key].(float64); ok {
				want = strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.4f", f), "0"), ".")
			}
			if got := row[column[key]]; got != want {
				t.Errorf("row %d: %s is %q, want %q as in JSON", i, key, got, want)
			}
		}
	}
}

func TestMeshWritersReportAFullDisk(t *testing.T) {
	m := checked(t, meshPlan, nil)
	d := []report.MeshDifference{report.CompareMeshes("x", report.NewMeshState(m), report.NewMeshState(m))}
	for name, err := range map[string]error{
		"text": report.MeshText(fullDisk{}, m), "json": report.MeshJSON(fullDisk{}, m), "csv": report.MeshCSV(fullDisk{}, m),
		"geojson": report.MeshGeoJSON(fullDisk{}, m), "difference text": report.MeshDifferenceText(fullDisk{}, d),
		"difference json": report.MeshDifferenceJSON(fullDisk{}, d),
	} {
		if err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
