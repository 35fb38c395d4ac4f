package main

import (
	"encoding/json"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"
)

// meshAnswer is what these tests read of the JSON.
type meshAnswer struct {
	Verdict string
	Parts   [][]string `json:"parts"`
	Wanted  *struct{ Reached, Of int }
	Poles   []struct {
		Name  string
		Hops  *int
		Route *struct {
			Poles []string
			Solid bool
		}
		Load *struct{ Heard float64 }
	}
}

func answerOf(t *testing.T, args ...string) meshAnswer {
	t.Helper()
	r := polereach(t, append([]string{"plan", "--format", "json", "--dem", demo + "dem", "--radio", demo + "radio.json"},
		args...)...)
	var a meshAnswer
	if err := json.Unmarshal([]byte(r.out), &a); err != nil {
		t.Fatal(err, r.err)
	}
	return a
}

// demoWith is the demo plan with the links that keep holds.
func demoWith(t *testing.T, keep func(from, to string) bool) string {
	t.Helper()
	data, err := os.ReadFile(demoPlan)
	if err != nil {
		t.Fatal(err)
	}
	var root map[string]any
	if err := json.Unmarshal(data, &root); err != nil {
		t.Fatal(err)
	}
	var kept []any
	for _, f := range root["features"].([]any) {
		p := f.(map[string]any)["properties"].(map[string]any)
		if from, ok := p["from"].(string); !ok || keep(from, p["to"].(string)) {
			kept = append(kept, f)
		}
	}
	root["features"] = kept
	if data, err = json.Marshal(root); err != nil {
		t.Fatal(err)
	}
	return write(t, "plan.geojson", data)
}

// One drawn link says what is wanted; the mesh is that of all poles as without it.
func TestOneDrawnLinkHidesNoMesh(t *testing.T) {
	none := answerOf(t, demoWith(t, func(string, string) bool { return false }))
	one := answerOf(t, demoWith(t, func(from, to string) bool { return from == "Tanager Knob" && to == "Long Bench" }))
	if len(none.Parts) > 6 || !reflect.DeepEqual(one.Parts, none.Parts) {
		t.Errorf("parts %v with one link, %v without", one.Parts, none.Parts)
	}
	if one.Wanted == nil || one.Wanted.Of != 1 || one.Verdict != "reaches" {
		t.Errorf("wanted %v, verdict %s: want the one link alone to count", one.Wanted, one.Verdict)
	}
}

// Missing terrain under a pair that nobody asked for is told, but leaves nothing
// unanswered that was asked.
func TestUnknownPairsBesideTheWantedOnes(t *testing.T) {
	height := `"height_m":8`
	features := []string{
		feature(`{"name":"Tanager Knob",`+height+`}`, point("[-84.2308,36.485]")),
		feature(`{"name":"Long Bench",`+height+`}`, point("[-84.2555,36.5236]")),
		feature(`{"name":"Far Off",`+height+`}`, point("[-84.45,36.49]")),
	}
	args := []string{"plan", "--dem", demo + "dem", "--radio", demo + "radio.json"}
	drawn := append(features, feature(`{"from":"Tanager Knob","to":"Long Bench"}`,
		`{"type":"LineString","coordinates":[[-84.2308,36.485],[-84.2555,36.5236]]}`))
	if r := polereach(t, append(args, write(t, "p.geojson", []byte(collection(drawn...))))...); r.code != exitHolds ||
		!strings.Contains(r.out, "2 of 3 pairs could not be judged") {
		t.Errorf("exit %d, want %d\n%s%s", r.code, exitHolds, r.out, r.err)
	}
	if r := polereach(t, append(args, write(t, "p.geojson", []byte(collection(features...))))...); r.code != exitUnjudged {
		t.Errorf("without links exit %d, want %d: every pair was asked for", r.code, exitUnjudged)
	}
}

// Hops and way are told of one route, all of whose links reach.
func TestHopsAndWayAreOfOneRoute(t *testing.T) {
	told := 0
	for _, flags := range [][]string{{}, {"--sf", "7"}, {"--sf", "7", "--tx-dbm", "10"}} {
		for _, p := range answerOf(t, append(flags, "--gateway", gateway, demoPlan)...).Poles {
			if (p.Hops == nil) != (p.Route == nil) {
				t.Errorf("%v: %s has hops %v, route %v", flags, p.Name, p.Hops, p.Route)
			}
			if p.Hops == nil || p.Route == nil {
				continue
			}
			told++
			if *p.Hops != len(p.Route.Poles)-1 || !p.Route.Solid {
				t.Errorf("%v: %s: %d hops by %v, solid %v", flags, p.Name, *p.Hops, p.Route.Poles, p.Route.Solid)
			}
		}
	}
	if told < 20 {
		t.Errorf("%d routes: too few to say anything", told)
	}
}

// A loud pole is heard where it hears nobody.
func TestLoudPoleIsHeardWhereItHearsNobody(t *testing.T) {
	plan := write(t, "p.geojson", []byte(collection(
		feature(`{"name":"Loud","height_m":8,"tx_dbm":27}`, point("[-84.2308,36.485]")),
		feature(`{"name":"Quiet","height_m":8,"tx_dbm":-20}`, point("[-84.2555,36.5236]")))))
	for _, p := range answerOf(t, "--band", "", "--packets-per-hour", "6", plan).Poles {
		if want := map[string]bool{"Loud": false, "Quiet": true}[p.Name]; (p.Load.Heard > 0.9) != want ||
			(p.Load.Heard < 0.5) == want {
			t.Errorf("%s hears %.3f poles", p.Name, p.Load.Heard)
		}
	}
}

// A link that is required now turns the verdict, and is named.
func TestDifferenceNamesWhatIsRequired(t *testing.T) {
	data, err := os.ReadFile(demoPlan)
	if err != nil {
		t.Fatal(err)
	}
	old := `"from": "Mill Bottom", "to": "Ferry Flat", "required": false`
	newer := strings.Replace(string(data), old, strings.Replace(old, "false", "true", 1), 1)
	if newer == string(data) {
		t.Fatal("the demo plan has no such link any more")
	}
	r := polereach(t, "plan", "--changed-from", demoPlan, "--dem", demo+"dem", "--radio", demo+"radio.json",
		write(t, "newer.geojson", []byte(newer)))
	if !regexp.MustCompile(`Mill Bottom - Ferry Flat \(\w+\): required, was wanted`).MatchString(r.out) ||
		!strings.Contains(r.out, "SHORT") {
		t.Errorf("%s%s", r.out, r.err)
	}
}

// Without a pole both sides are counted over the poles that stay, and ways that led
// over it are named.
func TestDifferenceCountsTheSamePoles(t *testing.T) {
	// A whisper of 100 m, a link of 5 km.
	plan := write(t, "p.geojson", []byte(collection(feature(`{"name":"Gate","height_m":20}`, point("[-84.2308,36.485]")),
		feature(`{"name":"Relay","height_m":20}`, point("[-84.2555,36.5236]")),
		feature(`{"name":"End","height_m":20,"tx_dbm":-30}`, point("[-84.2555,36.5245]")))))
	r := polereach(t, "plan", "--dem", demo+"dem", "--radio", demo+"radio.json", "--gateway", "Gate", "--without",
		"Relay", plan)
	for _, want := range []string{"gone: Relay, with 2 reaching links", "counted over the 2 poles that both have",
		"End: none; was 2 hops by Relay > Gate",
		"now without a link that reaches: Gate, End", "pairs of poles without any route: 1, was 0", "busiest place"} {
		if !strings.Contains(strings.Join(strings.Fields(r.out), " "), want) {
			t.Errorf("no %q in\n%s", want, r.out)
		}
	}
	for _, not := range []string{"poles: 2, was 3", "Relay - ", "- Relay"} {
		if strings.Contains(r.out, not) {
			t.Errorf("%q in\n%s", not, r.out)
		}
	}
}

// Notes stand under the answer.
func TestPlanNotesWhatLooksAlike(t *testing.T) {
	r := polereach(t, "plan", "--dem", demo+"dem", "--radio", demo+"radio.json", write(t, "p.geojson", []byte(collection(
		feature(`{"name":"Old Mill","height_m":8}`, point("[-84.2308,36.485]")), feature(`{"name":"Old  Mill","height_m":8}`,
			point("[-84.2555,36.5236]")),
		feature(`{"name":"Barn","height_m":8}`, point("[-84.25551,36.52361]"))))))
	out := strings.Join(strings.Fields(r.out), " ")
	for _, want := range []string{`its name differs from that of feature 0 ("Old Mill") by blanks or capitals alone`,
		`1.4 m from feature 1`} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s%s", want, r.out, r.err)
		}
	}
}
