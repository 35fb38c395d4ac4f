package main

import (
	"encoding/csv"
	"fmt"
	"regexp"
	"strings"
	"testing"
)

// Where only heroics would do a relay is named, and its command runs as it is printed.
func TestRelayCommandRuns(t *testing.T) {
	r := polereach(t, "site", "--pole", "Sorrel Ridge", demo+"plan.geojson")
	_, command, found := strings.Cut(r.out, "    polereach spots ")
	command, _, _ = strings.Cut(strings.ReplaceAll(command, "\\\n", " "), " PLAN\n")
	if !found || !strings.Contains(r.out, "nothing that people put up would do") ||
		!strings.Contains(command, `--must "Hollow School"`) {
		t.Fatalf("no command for a relay in:\n%s", r.out)
	}
	args := append([]string{"spots", "--top", "1", "--cell-m", "300"}, shellWords(command)...)
	if r = polereach(t, append(args, demo+"plan.geojson")...); r.code != exitHolds || r.err != "" {
		t.Errorf("%v: exit %d, stderr %q", args, r.code, r.err)
	}
}

// Without a band every proposal says so beside it, in text and JSON.
func TestAdviceWithoutABandSaysSo(t *testing.T) {
	path := []string{"link", "-84.2405,36.5565", "-84.15,36.65", "--height-m", "5", "--freq-mhz", "915", "--dem", demo +
		"dem"}
	const says = "no band chosen, rules not checked"
	for _, kind := range []string{"text", "json"} {
		word := map[string]string{"text": "would do", "json": `"airtime_ratio"`}[kind]
		r := polereach(t, append(path, "--format", kind)...)
		text := strings.Join(strings.Fields(strings.ToLower(r.out)), " ")
		if n := strings.Count(text, word); n == 0 || strings.Count(text, says) != n || strings.Contains(text, "lawful") {
			t.Errorf("%d proposals, %q:\n%s", n, says, r.out)
		}
		if r = polereach(t, append(path, "--format", kind, "--band", "us915", "--bw-khz", "500", "--sf",
			"12")...); strings.Contains(r.out, says) {
			t.Errorf("with a band:\n%s", r.out)
		}
	}
}

// A difference tells of rules whether they differ or not.
func TestWhatIfTellsOfRules(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--what-if", "pole=Sorrel Ridge,tx_dbm=40"}, "Rules of us915: beyond the table as set up here: Sorrel Ridge"},
		{[]string{"--what-if", "pole=Sorrel Ridge,height_m=9"}, "Rules of us915: no pole is beyond the table"},
		{[]string{"--what-if", "pole=Sorrel Ridge,height_m=9", "--radio", "none"}, "No band chosen"},
	} {
		if c.args[len(c.args)-1] == "none" {
			c.args[len(c.args)-1] = write(t, "radio.json", []byte(`{"freq_mhz": 915}`))
		}
		r := polereach(t, append(append([]string{"plan"}, c.args...), demo+"plan.geojson")...)
		if !strings.Contains(r.out, c.want) {
			t.Errorf("%v: no %q in\n%s%s", c.args, c.want, r.out, r.err)
		}
	}
}

// An older plan whose link states a channel outside the band is refused like the plan.
func TestOlderPlanIsHeldAgainstTheBand(t *testing.T) {
	const at = `{"type":"Feature","properties":{"name":%q,"height_m":8},"geometry":{"type":"Point","coordinates":[%g,36.55]}},`
	older := write(t, "older.geojson", []byte(`{"type":"FeatureCollection","features":[`+fmt.Sprintf(at, "Ash",
		-84.24)+fmt.Sprintf(at, "Birch", -84.2)+
		`{"type":"Feature","properties":{"from":"Ash","to":"Birch","freq_mhz":868.1},"geometry":{"type":"LineString","coordinates":[[-84.24,36.55],[-84.2,36.55]]}}]}`))
	refused(t, polereach(t, "plan", "--changed-from", older, "--band", "us915", demo+"plan.geojson"), "older.geojson",
		"freq_mhz", "868.1", "us915")
}

// The weakest of the paths wanted is one figure in all formats.
func TestWeakestIsOneFigure(t *testing.T) {
	long(t)
	args := []string{"spots", "--must", "Mill Bottom", "--at-least", "3", "--top", "2", demo + "spots.geojson", "--format"}
	type weakest struct {
		Probability *float64 `json:"weakest_probability"`
	}
	answer := decode[struct{ Spots []weakest }](t, polereach(t, append(args, "json")...).out)
	plan := decode[struct {
		Features []struct{ Properties weakest }
	}](t, polereach(t, append(args, "geojson")...).out)
	rows, err := csv.NewReader(strings.NewReader(polereach(t, append(args, "csv")...).out)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	text := polereach(t, append(args, "text")...).out
	told := regexp.MustCompile(`weakest of the paths\s+wanted\s+with (\d+)`).FindAllStringSubmatch(text, -1)
	if len(answer.Spots) != 2 || len(told) != 2 {
		t.Fatalf("%d spots, %d in\n%s", len(answer.Spots), len(told), text)
	}
	inPlan := plan.Features[len(plan.Features)-2:]
	for i, s := range answer.Spots {
		column := strings.Index(strings.Join(rows[0], ","), "weakest_probability")
		column = strings.Count(strings.Join(rows[0], ",")[:column], ",")
		row := rows[1+i*(len(rows)-1)/2]
		if row[column] != fmt.Sprint(*s.Probability) || *inPlan[i].Properties.Probability != *s.Probability ||
			told[i][1] != fmt.Sprint(int(100**s.Probability)) {
			t.Errorf("spot %d: JSON %g, CSV %s, GeoJSON %g, text %s %%", i, *s.Probability, row[column],
				*inPlan[i].Properties.Probability, told[i][1])
		}
	}
}

// What is asked beyond the terrain names the tile, whatever the command.
func TestMissingTerrainNamesTheTile(t *testing.T) {
	far := write(t, "far.geojson", []byte(`{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"name":"Far","height_m":5},"geometry":{"type":"Point","coordinates":[-80,36.5]}},
{"type":"Feature","properties":{"name":"Void","height_m":5},"geometry":{"type":"Point","coordinates":[-84.6,36.55]}},
{"type":"Feature","properties":{"name":"Near","height_m":5},"geometry":{"type":"Point","coordinates":[-84.24,36.55]}}]}`))
	for _, c := range []struct {
		code int
		want string
		args []string
	}{
		{exitUnjudged, "N36W080 is missing", []string{"sun", "--pole", "Far", far}},
		{exitUnjudged, "N36W080 is missing", []string{"site", "--pole", "Far", far}},
		{exitUnjudged, "N36W081 is missing", []string{"link", "-84.2,36.5", "-80.1,36.5", "--height-m", "5"}},
		{exitUnjudged, "void of the terrain, in the tile N36W085", []string{"link", "-84.2,36.5", "-84.05,36.5", "--height-m", "5"}},
		{exitUnjudged, "N36W080 is missing", []string{"spots", "--around", "-80,36.5", "--search-km", "1", far}},
		{exitHolds, "\"Void\" lies on a void of the terrain, in the tile N36W085", []string{"spots", "--around", "-84.23,36.56", "--search-km", "1", "--top", "1", far}},
	} {
		r := polereach(t, append(c.args, "--dem", demo+"dem")...)
		if text := strings.Join(strings.Fields(r.out+r.err), " "); r.code != c.code || !strings.Contains(text, c.want) {
			t.Errorf("%v: exit %d, no %q in\n%s", c.args, r.code, c.want, text)
		}
	}
}

// Over the ground of a survey a top is not called ground.
func TestTopsAreNotCalledGround(t *testing.T) {
	ground := write(t, "wood.csv", []byte("dist_m,ground_m,top_m\n0,100,100\n500,100,130\n1000,100,100\n2000,100,100\n"))
	r := polereach(t, "link", "--ground", ground, "--height-m", "5")
	text := strings.Join(strings.Fields(r.out), " ")
	for _, want := range []string{"the ground or what stands on it cuts the line of sight",
		"(top 130 m, on ground 100 m)", "diffraction over the ground and what stands on it"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, r.out)
		}
	}
}
