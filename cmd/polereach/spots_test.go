package main

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/plan"
)

func TestSpotsGolden(t *testing.T) {
	demoPlan, ground := demo+"plan.geojson", demo+"spots.geojson"
	for _, c := range []struct {
		file string
		code int
		args []string
	}{
		{"spots.txt", exitHolds, []string{"spots", "--must", "Tanager Knob", "--at-least", "3", "--top", "2", demoPlan}},
		{"spots.json", exitHolds, []string{"spots", demoPlan, "--must", "Mill Bottom", "--at-least", "5", "--top", "1", "--format", "json"}},
		{"spots_none.txt", exitNotHeld, []string{"spots", "--must", "Hollow School", "--sf", "7", "--max-height-m", "3", "--top", "1", demoPlan}},
		{"spots_sun.txt", exitHolds, []string{"spots", "--rank", "sun", "--at-least", "2", "--top", "2", "--cell-m", "300", ground}},
		{"spots_road.txt", exitHolds, []string{"spots", "--rank", "road", "--must", "Mill Bottom", "--max-road-m", "400", "--top", "2", ground}},
		{"spots_probability.csv", exitHolds, []string{"spots", "--rank", "probability", "--at-least", "3", "--top", "2", "--with-sun", "--format", "csv", ground}},
		{"spots.geojson", exitHolds, []string{"spots", "--must", "Mill Bottom", "--top", "2", "--with-sun", "--format", "geojson", ground}},
		{"help_spots.txt", exitHolds, []string{"spots", "--help"}},
	} {
		t.Run(c.file, func(t *testing.T) {
			if c.file != "spots_sun.txt" { // whose goroutines share the arcs of the sun
				long(t)
			}
			r := polereach(t, c.args...)
			if r.code != c.code || r.err != "" {
				t.Errorf("exit %d, want %d; stderr %q", r.code, c.code, r.err)
			}
			golden(t, c.file, r.out)
		})
	}
}

// spotFigures is what spots and site both say of a path.
type spotFigures struct {
	To          string  `json:"to"`
	MarginDB    float64 `json:"margin_db"`
	SigmaDB     float64 `json:"sigma_db"`
	Probability float64 `json:"probability"`
	Verdict     string  `json:"verdict"`
}

type spotAnswer struct {
	Name    string        `json:"name"`
	LonDeg  float64       `json:"lon_deg"`
	HeightM float64       `json:"height_m"`
	GroundM float64       `json:"ground_m"`
	Links   []spotFigures `json:"links"`
	Sun     *struct {
		Month   int     `json:"month"`
		SunWhM2 float64 `json:"sun_wh_m2_day"`
		Verdict string  `json:"verdict"`
	} `json:"sun"`
}

func decode[T any](t *testing.T, text string) T {
	t.Helper()
	var v T
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatalf("%v in %q", err, text)
	}
	return v
}

// The plan that comes out goes in again: site, plan and sun find at every spot
// what spots found, each path by itself.
func TestSpotsPlanGoesInAgain(t *testing.T) {
	long(t)
	for _, c := range []struct {
		file  string
		flags []string
	}{
		{"plan.geojson", []string{"--must", "Tanager Knob", "--top", "10", "--separation-m", "150"}},
		{"spots.geojson", []string{"--must", "Mill Bottom", "--top", "3", "--rank", "probability"}},
		{"sun.geojson", []string{"--must", "Hot Box Bluff", "--around", "-84.24,36.556", "--search-km", "1", "--like", "Sunny Shoulder", "--top", "2", "--rank", "neighbours"}},
	} {
		t.Run(c.file, func(t *testing.T) {
			// Beside the demo's own files, so that terrain, radio and climate are found.
			folder := t.TempDir()
			for _, name := range []string{"dem", "radio.json", "climate.json"} {
				from, err := filepath.Abs(demo + name)
				if err == nil {
					err = os.Symlink(from, filepath.Join(folder, name))
				}
				if err != nil {
					t.Fatal(err)
				}
			}
			out := filepath.Join(folder, "more.geojson")
			args := append([]string{"spots", "--with-sun", "--format", "json", "--plan-out", out}, c.flags...)
			r := polereach(t, append(args, demo+c.file)...)
			if r.code != exitHolds || r.err != "" {
				t.Fatalf("exit %d, stderr %q", r.code, r.err)
			}
			data, err := os.ReadFile(out)
			if err != nil {
				t.Fatal(err)
			}
			p, err := plan.Read(out, data)
			if err != nil {
				t.Fatal(err)
			}
			spots := decode[struct{ Spots []spotAnswer }](t, r.out).Spots
			if len(spots) < 2 {
				t.Fatalf("%d spots", len(spots))
			}
			pairs := planPairs(t, out)
			for _, s := range spots {
				if st, ok := p.Station(s.Name); !ok || st.Status != plan.Proposed || *st.HeightM != s.HeightM ||
					!(math.Abs(st.At[0]-s.LonDeg) < 1e-7) {
					t.Errorf("%s in the plan: %+v", s.Name, st)
				}
				siteAgrees(t, out, s)
				for _, l := range s.Links {
					if got, ok := pairs[s.Name+" - "+l.To]; ok && got != l.Probability {
						t.Errorf("%s to %s: plan says %g, spots %g", s.Name, l.To, got, l.Probability)
					} else if !ok && (len(p.Links) == 0 || l.Verdict == "reaches") {
						t.Errorf("%s to %s is missing in plan", s.Name, l.To)
					}
				}
			}
			sunAgrees(t, out, spots[0])
		})
	}
}

// planPairs are the probabilities that plan finds, by "from - to".
func planPairs(t *testing.T, path string) map[string]float64 {
	t.Helper()
	r := polereach(t, "plan", "--format", "csv", path)
	rows, err := csv.NewReader(strings.NewReader(r.out)).ReadAll()
	if err != nil || len(rows) < 2 || r.err != "" {
		t.Fatalf("plan: %v, stderr %q", err, r.err)
	}
	column := map[string]int{}
	for i, key := range rows[0] {
		column[key] = i
	}
	out := map[string]float64{}
	for _, row := range rows[1:] {
		p := decode[float64](t, row[column["probability"]])
		from, to := row[column["from"]], row[column["to"]]
		out[from+" - "+to], out[to+" - "+from] = p, p
	}
	return out
}

func siteAgrees(t *testing.T, path string, s spotAnswer) {
	t.Helper()
	r := polereach(t, "site", "--pole", s.Name, "--format", "json", path)
	site := decode[struct {
		Pole  spotAnswer
		Links []spotFigures
	}](t, r.out)
	if r.err != "" || site.Pole.HeightM != s.HeightM || site.Pole.GroundM != s.GroundM {
		t.Errorf("%s: site says %+v, stderr %q", s.Name, site.Pole, r.err)
	}
	found := map[string]spotFigures{}
	for _, l := range site.Links {
		found[l.To] = l
	}
	for _, l := range s.Links {
		if found[l.To] != l {
			t.Errorf("%s: site says %+v, spots %+v", s.Name, found[l.To], l)
		}
	}
}

func sunAgrees(t *testing.T, path string, s spotAnswer) {
	t.Helper()
	r := polereach(t, "sun", "--pole", s.Name, "--format", "json", "--search-m", "0", path)
	got := decode[struct {
		Verdict string
		Months  []struct {
			Month   int
			SunWhM2 float64 `json:"plane_wh_m2"`
		}
	}](t, r.out)
	want := s.Sun.Verdict
	if want == "" {
		want = "unknown"
	}
	if got.Verdict != want || len(got.Months) != 12 {
		t.Fatalf("%s: sun says %q, spots %q; stderr %q", s.Name, got.Verdict, want, r.err)
	}
	// sun shows the hills that are known; spots counts what is not as high as it
	// could be, which takes a little more.
	if m := got.Months[s.Sun.Month-1]; !(s.Sun.SunWhM2 <= m.SunWhM2 && s.Sun.SunWhM2 >= 0.98*m.SunWhM2) {
		t.Errorf("%s: sun says %g Wh/m2 in month %d, spots %g", s.Name, m.SunWhM2, m.Month, s.Sun.SunWhM2)
	}
}

func TestSpotsBadInput(t *testing.T) {
	p := demo + "plan.geojson"
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"--must", "Tanager Nob", p}, []string{"did you mean"}},
		{[]string{"--like", "Tanager Nob", "--rank", "height", "--with-sun", "--panel-height-m", "-2", "--clearness", "9", p},
			[]string{"like: ", "did you mean", "rank: found \"height\"", "panel-height-m", "clearness"}},
		{[]string{"--at-least", "0", "--top", "-1", "--separation-m", "0", "--range-km", "-3", "--max-road-m", "-1", "--most-cells", "-1", p},
			[]string{"at-least", "top", "separation-m", "range-km", "max-road-m", "most-cells"}},
		{[]string{"--climate", "x.json", "--panel-height-m", "3", p}, []string{"climate: found without --with-sun", "panel-height-m: found without"}},
		{[]string{"--at-least", "40", p}, []string{"at_least"}},
		{[]string{"--rank", "road", p}, []string{"the plan has no road", "highway"}},
		{[]string{"--format", "svg", p}, []string{"text, json, csv, geojson"}},
		{[]string{"--around", "-84.2,36.6", "--search-km", "0", p}, []string{"search-km"}},
		{[]string{"--around", "10,10", p}, []string{"no neighbour lies within"}},
		{[]string{"--must", "North Cairn", "--range-km", "5", p}, []string{`"North Cairn" must be reached`}},
	} {
		r := polereach(t, append([]string{"spots"}, c.args...)...)
		if r.code != exitUsage || r.out != "" {
			t.Errorf("%v: exit %d, stdout %q", c.args, r.code, r.out)
		}
		for _, want := range c.want {
			if !strings.Contains(r.err, want) {
				t.Errorf("%v: %q is missing in %q", c.args, want, r.err)
			}
		}
	}
}

// Nobody serves, but ground is missing that might decide: exit code 4.
func TestSpotsUnknownGround(t *testing.T) {
	long(t)
	r := polereach(t, "spots", "--around", "-84.405,36.465", "--search-km", "1.5", "--at-least", "11", "--top", "1",
		demo+"plan.geojson")
	if r.code != exitUnjudged || !strings.Contains(r.out, "terrain is missing") {
		t.Errorf("exit %d, want %d; %q %q", r.code, exitUnjudged, r.out, r.err)
	}
}

// What a polygon states about the node is checked, and told of that polygon.
func TestSpotsNodeFaults(t *testing.T) {
	path := filepath.Join(t.TempDir(), "p.geojson")
	text := `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"name":"A","height_m":5},"geometry":{"type":"Point","coordinates":[-84.23,36.485]}},
{"type":"Feature","properties":{"name":"Bench","panel_w":-3,"cell_mah":"big"},"geometry":{"type":"Polygon","coordinates":[[[-84.25,36.54],[-84.24,36.54],[-84.24,36.55],[-84.25,36.54]]]}}]}`
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	r := polereach(t, "spots", "--with-sun", "--dem", demo+"dem", path)
	for _, want := range []string{"Bench", "panel_w: found -3", "cell_mah: found"} {
		if r.code != exitUsage || strings.Count(r.err, want) == 0 {
			t.Errorf("exit %d, %q is missing in %q", r.code, want, r.err)
		}
	}
}
