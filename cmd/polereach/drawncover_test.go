package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

// drawnPlan is a plan of two invented poles of the demo's ground, and what stands between them, "" for nothing.
func drawnPlan(t *testing.T, stands string) string {
	t.Helper()
	features := []string{
		`{"type":"Feature","properties":{"name":"Ash","height_m":8},"geometry":{"type":"Point","coordinates":[-84.2405,36.5565]}}`,
		`{"type":"Feature","properties":{"name":"Birch","height_m":8},"geometry":{"type":"Point","coordinates":[-84.15,36.65]}}`,
		`{"type":"Feature","properties":{"from":"Ash","to":"Birch"},"geometry":{"type":"LineString","coordinates":[[-84.2405,36.5565],[-84.15,36.65]]}}`,
	}
	if stands != "" {
		features = append(features, fmt.Sprintf(`{"type":"Feature","properties":%s,"geometry":{"type":"Polygon","coordinates":`+
			`[[[-84.2402,36.5567],[-84.2398,36.5567],[-84.2398,36.5572],[-84.2402,36.5572],[-84.2402,36.5567]]]}}`, stands))
	}
	return write(t, "drawn.geojson", []byte(collection(features...)))
}

// A tall house that is drawn 30 m before a pole counts in every command, and where it is gone none does.
func TestDrawnCoverReachesEveryCommand(t *testing.T) {
	house, bare := drawnPlan(t, `{"stands":"urban","top_m":40}`), drawnPlan(t, "")
	common := []string{"--dem", demo + "dem", "--freq-mhz", "915", "--bare-earth", "--format", "json"}
	run := func(args ...string) string {
		r := polereach(t, append(append([]string{args[0]}, common...), args[1:]...)...)
		if r.code != exitHolds && r.code != exitNotHeld || r.err != "" {
			t.Fatalf("%v: exit %d, %s", args, r.code, r.err)
		}
		return r.out
	}
	loss := func(out string) float64 {
		_, rest, _ := strings.Cut(out, `"loss_db":`)
		var v float64
		if err := json.NewDecoder(strings.NewReader(rest)).Decode(&v); err != nil {
			t.Fatalf("%v: %.300s", err, out)
		}
		return v
	}
	path := []string{"-84.2405,36.5565", "-84.1500,36.6500", "--height-m", "8"}
	link := func(plan ...string) string { return run(append(append([]string{"link"}, plan...), path...)...) }
	for name, of := range map[string][2]string{
		"link": {link(), link("--plan", house)},
		"plan": {run("plan", bare), run("plan", house)},
		"site": {run("site", "--pole", "Ash", bare), run("site", "--pole", "Ash", house)},
	} {
		if more := loss(of[1]) - loss(of[0]); !(more > 10) {
			t.Errorf("%s: the house costs %g dB", name, more)
		}
		if !strings.Contains(of[1], `"cover": "the plan"`) || strings.Contains(of[0], `"cover"`) {
			t.Errorf("%s does not say what stands there: %s", name, of[1])
		}
	}
	told := func(more ...string) string {
		return polereach(t, append(append([]string{"link", "--plan", house, "--dem", demo + "dem"}, more...), path...)...).out
	}
	if drawn, raster := told(), told("--cover", demoCover); strings.Contains(drawn, "measured to") ||
		!strings.Contains(drawn, "what the plan says") || !strings.Contains(raster, "measured to") {
		t.Errorf("what was measured over rasters is not told of drawings:\n%s\n%s", drawn, raster)
	}
	if out := link("--plan", house, "--cover", "wood"); !strings.Contains(out, `"cover": "the plan over wood"`) {
		t.Errorf("a class beside the plan: %s", out)
	}
	if with, without := link("--plan", bare), link(); with != without {
		t.Errorf("a plan without: %s, want %s", with, without)
	}
	// What an earlier plan had on the ground is not taken over.
	if r := run("plan", "--changed-from", bare, house); !strings.Contains(r, `"Ash"`) ||
		run("plan", "--changed-from", house, house) == r {
		t.Errorf("from the bare plan: %s", r)
	}
	refused(t, polereach(t, "link", "--plan", house, "--ground", house, "--height-m", "8"), "plan: found beside --ground")
	// Keys that belong together are told with the others.
	refused(t, polereach(t, "plan", drawnPlan(t, `{"stands":"trees","top_m":400}`)), `found text "trees"`, "found 400")
}
