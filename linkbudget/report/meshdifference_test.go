package report_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/report"
)

// state is the GeoJSON of a run, written by hand: name the links as
// "A B verdict margin probability", the probability 0.5 unless given.
func state(t *testing.T, links ...string) report.MeshState {
	t.Helper()
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","polereach":{"schema":1,"command":"plan","verdict":"reaches"},"features":[
		{"type":"Feature","properties":{"name":"A","polereach_schema":1},"geometry":{"type":"Point","coordinates":[1,2]}}`)
	for _, l := range links {
		f := strings.Fields(l)
		b.WriteString(`,{"type":"Feature","properties":{"polereach_schema":1,"from":"` + f[0] + `","to":"` + f[1] +
			`","verdict":"` + f[2] + `"`)
		if len(f) > 3 {
			b.WriteString(`,"margin_db":` + f[3] + `,"probability":` + append(f, "0.5")[4])
		}
		b.WriteString(`},"geometry":{"type":"LineString","coordinates":[]}}`)
	}
	s, found, err := report.ReadMeshState([]byte(b.String() + "]}"))
	if err != nil || !found {
		t.Fatal(found, err)
	}
	return s
}

// Expected lists follow from the definitions in MeshDifference, by hand.
func TestCompareMeshes(t *testing.T) {
	before := state(t, "A B reaches 20", "B C short -3", "C D marginal 1", "D E reaches 9", "E F unknown",
		"F G reaches 5", "G H reaches 5", "H I reaches 30", "K L reaches 15 0.99", "L M reaches 15 0.92")
	after := state(t, "B A reaches 20.04", "B C marginal 1", "C D short 1.5", "D E reaches 8.9", "F E short -9",
		"F G unknown", "G H reaches 5.06", "I J reaches 2", "K L reaches 15 0.92", "L M reaches 14 0.99")
	d := report.CompareMeshes("x", before, after)
	names := func(change string) string {
		var b bytes.Buffer
		if err := report.MeshDifferenceText(&b, []report.MeshDifference{d}); err != nil {
			t.Fatal(err)
		}
		_, list, found := strings.Cut(b.String(), "\n  "+change+"\n")
		if !found {
			return ""
		}
		var out []string
		for _, line := range strings.Split(list, "\n") {
			if line == "" || len(line) > 2 && line[2] != ' ' && line[2] != '*' {
				break
			}
			if name, _, ok := strings.Cut(line, ":"); ok && strings.Contains(name, " - ") {
				out = append(out, strings.TrimLeft(name, " *"))
			}
		}
		return strings.Join(out, ", ")
	}
	for change, want := range map[string]string{
		"Better": "B - C, F - E, L - M, G - H", // a verdict before a probability, that before a margin
		"Worse":  "C - D, F - G, K - L, D - E",
		"Lost":   "H - I",
		"New":    "I - J",
	} {
		if got := names(change); got != want {
			t.Errorf("%s: %s, want %s", change, got, want)
		}
	}
	if d.Same != 1 {
		t.Errorf("%d links the same, want 1 (A - B, changed by 0.04 dB)", d.Same)
	}
}

// Who is beyond the band's table, the busiest place and changed ways are told.
func TestDifferenceTellsRulesAndLoad(t *testing.T) {
	one := func(beyond, hops, route, busy string) report.MeshState {
		s, found, err := report.ReadMeshState([]byte(`{"type":"FeatureCollection","polereach":{"schema":1,"command":"plan","verdict":"reaches","gateways":["A"],"beyond_rules":[` + beyond + `]},"features":[
			{"type":"Feature","properties":{"name":"A","polereach_schema":1,"direct_busy":0.001,"repeat_all_busy":0.002},"geometry":{"type":"Point","coordinates":[1,2]}},
			{"type":"Feature","properties":{"name":"B","polereach_schema":1,"hops":` + hops + `,"route":"` + route +
			`","direct_busy":0.001,"repeat_all_busy":` + busy + `},"geometry":{"type":"Point","coordinates":[1,2]}}]}`))
		if err != nil || !found {
			t.Fatal(found, err)
		}
		return s
	}
	before, after := one(`"A"`, "1", "B > A", "0.01"), one(`"B","link A - B"`, "2", "B > C > A", "0.05")
	var b bytes.Buffer
	if err := report.MeshDifferenceText(&b,
		[]report.MeshDifference{report.CompareMeshes("x", before, after)}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"now beyond the band's table: B, link A - B\n", "no more beyond the band's table: A\n",
		"busiest place, everyone repeats all: B 5.00 %, was B 1.00 %\n", "    B: 2 hops by C > A; was 1 hop by A\n"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %q in\n%s", want, &b)
		}
	}
	if strings.Contains(b.String(), "own packets") {
		t.Errorf("what did not change is told:\n%s", &b)
	}
}

func TestReadMeshStateRefuses(t *testing.T) {
	const head = `{"type":"FeatureCollection","polereach":{"schema":1,"command":"plan"},"features":[{"type":"Feature","geometry":{"type":"LineString"},"properties":{"polereach_schema":1,`
	for name, c := range map[string]struct {
		text string
		want string
	}{
		"verdict":         {head + `"from":"A","to":"B","verdict":"fine"}}]}`, `verdict: found "fine"`},
		"no verdict":      {head + `"from":"A","to":"B"}}]}`, `verdict: found ""`},
		"margin":          {head + `"from":"A","to":"B","verdict":"short","margin_db":"5"}}]}`, "feature 0: margin_db"},
		"another command": {`{"polereach":{"schema":1,"command":"site"}}`, "command plan"},
		"another schema":  {`{"polereach":{"schema":2,"command":"plan"}}`, "schema 1"},
		"a word":          {`{"polereach":"yes"}`, `"polereach"`},
	} {
		if _, found, err := report.ReadMeshState([]byte(c.text)); found || err == nil || !strings.Contains(err.Error(),
			c.want) {
			t.Errorf("%s: found %v, error %v, want %q", name, found, err, c.want)
		}
	}
	for _, text := range []string{"", "{", "[1]", meshPlan, `{"features":5}`} {
		if _, found, err := report.ReadMeshState([]byte(text)); found || err != nil {
			t.Errorf("%.20s: found %v, error %v; want neither", text, found, err)
		}
	}
}

func FuzzReadMeshState(f *testing.F) {
	f.Add([]byte(meshPlan))
	f.Add([]byte(`{"polereach":{"schema":1,"command":"plan"},"features":[{"geometry":{"type":"LineString"},"properties":{"polereach_schema":1,"from":"A","to":"B","verdict":"short","margin_db":1}}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		s, found, err := report.ReadMeshState(text)
		if found && err != nil {
			t.Errorf("found, and error %v", err)
		}
		var b bytes.Buffer
		d := []report.MeshDifference{report.CompareMeshes("", s, s)}
		if err := errors.Join(report.MeshDifferenceText(&b, d), report.MeshDifferenceJSON(&b, d)); err != nil {
			t.Error(err)
		}
	})
}
