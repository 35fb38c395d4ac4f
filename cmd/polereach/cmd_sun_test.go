package main

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const sunPlan = demo + "sun.geojson"

// The three poles of the example: one lives, a ridge kills one in December, one
// overheats without a shade plate.
func TestSunGolden(t *testing.T) {
	long(t)
	for _, c := range []struct {
		file string
		code int
		args []string
	}{
		{"sun.txt", exitHolds, []string{"sun", "--pole", "Sunny Shoulder", sunPlan}},
		{"sun_ridge.txt", exitNotHeld, []string{"sun", sunPlan, "--pole", "Cold Hollow"}},
		{"sun_heat.txt", exitNotHeld, []string{"sun", sunPlan, "--pole", "Hot Box Bluff"}},
		{"sun_ridge.json", exitNotHeld, []string{"sun", sunPlan, "--pole", "Cold Hollow", "--format", "json", "--search-m", "0"}},
		{"sun_at.txt", exitUnjudged, []string{"sun", sunPlan, "--at", "-84.2405,36.5565", "--obstacle", "az=170..190,elev=12"}},
		{"help_sun.txt", exitHolds, []string{"sun", "--help"}},
		{"help_sun_get.txt", exitHolds, []string{"sun", "get", "--help"}},
	} {
		t.Run(c.file, func(t *testing.T) {
			r := polereach(t, c.args...)
			if r.code != c.code || r.err != "" {
				t.Errorf("exit %d, want %d; stderr %q", r.code, c.code, r.err)
			}
			golden(t, c.file, r.out)
		})
	}
}

type sunAnswer struct {
	Verdict string
	Month   int
	Free    string `json:"verdict_without_hills"`
	Heat    struct{ Verdict string }
	Advice  []struct {
		Text, Spot string
		Set        map[string]any
	}
	Skyline []struct {
		Az       float64 `json:"azimuth_deg"`
		Elev     float64 `json:"elevation_deg"`
		Obstacle bool
	}
}

func sunJSON(t *testing.T, args ...string) sunAnswer {
	t.Helper()
	r := polereach(t, append([]string{"sun", "--format", "json"}, args...)...)
	var a sunAnswer
	if err := json.Unmarshal([]byte(r.out), &a); err != nil {
		t.Fatalf("exit %d, %v, stderr %s", r.code, err, r.err)
	}
	return a
}

func TestDemoPolesAndTheirAdvice(t *testing.T) {
	long(t)
	for _, c := range []struct {
		pole, verdict, free, heat string
		months                    string // that may decide
	}{
		{"Sunny Shoulder", "lives", "", "lives", ""},
		{"Cold Hollow", "dies", "thin", "lives", " 12 "},
		{"Hot Box Bluff", "dies", "dies", "dies", " 7 "},
	} {
		a := sunJSON(t, "--pole", c.pole, "--search-m", "0", sunPlan)
		if a.Verdict != c.verdict || a.Free != c.free || a.Heat.Verdict != c.heat {
			t.Errorf("%s: %s, without hills %q, heat %s", c.pole, a.Verdict, a.Free, a.Heat.Verdict)
		}
		if a.Verdict == "lives" {
			continue
		}
		if c.months != " 12 " && a.Month != 7 || c.months == " 12 " && a.Month != 12 {
			t.Errorf("%s: month %d", c.pole, a.Month)
		}
		if len(a.Advice) == 0 {
			t.Errorf("%s: no advice", c.pole)
		}
		// Each advice, written into the plan, makes the pole live.
		for _, advice := range a.Advice {
			if again := sunJSON(t, "--pole", c.pole, "--search-m", "0",
				changedPlan(t, c.pole, advice.Set)); again.Verdict != "lives" {
				t.Errorf("%s with %q: %s", c.pole, advice.Text, again.Verdict)
			}
		}
	}
}

// changedPlan is the demo plan, beside links to its terrain and climate, with
// properties of one pole set.
func changedPlan(t *testing.T, pole string, set map[string]any) string {
	t.Helper()
	data, err := os.ReadFile(sunPlan)
	if err != nil {
		t.Fatal(err)
	}
	var file map[string]any
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	for _, f := range file["features"].([]any) {
		properties := f.(map[string]any)["properties"].(map[string]any)
		if properties["name"] == pole {
			for k, v := range set {
				properties[k] = v
			}
		}
	}
	dir := t.TempDir()
	for _, name := range []string{"dem", "climate.json", "radio.json"} {
		target, err := filepath.Abs(demo + name)
		if err == nil {
			err = os.Symlink(target, filepath.Join(dir, name))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if data, err = json.Marshal(file); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "plan.geojson")
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestSunPicture(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"a.svg", "a.PNG"} {
		path := filepath.Join(dir, name)
		var first []byte
		for range 2 {
			r := polereach(t, "sun", "--pole", "Sunny Shoulder", "--picture", path, sunPlan)
			if r.code != exitHolds || r.err != "" {
				t.Fatalf("exit %d, %s", r.code, r.err)
			}
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if first != nil && !bytes.Equal(first, data) {
				t.Errorf("%s: two runs differ", name)
			}
			first = data
		}
		if name == "a.PNG" {
			img, err := png.Decode(bytes.NewReader(first))
			if err != nil || img.Bounds().Dx() != 960 || img.Bounds().Dy() != 480 {
				t.Errorf("%v", err)
			}
			continue
		}
		text := string(first)
		for _, want := range []string{"Skyline and sun at Sunny Shoulder", "June solstice", "December solstice", "equinoxes",
			"S 180", "stroke-dasharray"} {
			if !strings.Contains(text, want) {
				t.Errorf("no %q in the picture", want)
			}
		}
		for d := xml.NewDecoder(strings.NewReader(text)); ; {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatal(err)
			}
		}
	}
}

func TestObstacleStandsInTheSkyline(t *testing.T) {
	a := sunJSON(t, "--pole", "Sunny Shoulder", "--obstacle", "az=170..190,elev=32", "--obstacle", "az=350..10,elev=40",
		"--search-m", "0", sunPlan)
	for _, d := range a.Skyline {
		in := d.Az >= 170 && d.Az <= 190 && d.Elev == 32 || (d.Az >= 350 || d.Az <= 10) && d.Elev == 40
		if d.Obstacle != in {
			t.Errorf("azimuth %g, elevation %g, obstacle %v", d.Az, d.Elev, d.Obstacle)
		}
	}
}

// Several years, packed or not, follow each other; a year is looked for beside the
// plan before a climate.
func TestSunTakesSeveralYears(t *testing.T) {
	dir, plan := planFolder(t)
	first, second := filepath.Join(dir, "weather.epw"), filepath.Join(dir, "b.epw.gz")
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	if _, err := z.Write([]byte(greyYear())); err != nil || z.Close() != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.WriteFile(first, []byte(greyYear()), 0o644), os.WriteFile(second, packed.Bytes(), 0o644),
		os.WriteFile(filepath.Join(dir, "climate.json"), []byte(climatology), 0o644)); err != nil {
		t.Fatal(err)
	}
	one := polereach(t, "sun", "--pole", "Sunny Shoulder", "--search-m", "0", plan)
	two := polereach(t, "sun", "--pole", "Sunny Shoulder", "--search-m", "0", "--weather", first, "--weather", second,
		plan)
	for text, in := range map[string]string{
		"these are of a typical year": one.out, "none of the hours": one.out, "these are of 2 typical years": two.out,
		"the air is that of a place 683 m lower, about 4.4 K warmer than at the pole": two.out,
	} {
		if !strings.Contains(oneLine(in), text) {
			t.Errorf("no %q in %s", text, in)
		}
	}
	if one.code != two.code || strings.Contains(one.out, "Climatology") {
		t.Errorf("exit %d and %d", one.code, two.code)
	}
	far := polereach(t, "sun", "--at", "-84.2405,36.5565", "--weather", first, "--weather", "none.epw", plan)
	if far.code != exitUsage || !strings.Contains(far.err, "none.epw") {
		t.Errorf("exit %d, %s", far.code, far.err)
	}
}

// The site command says in one line whether the node lives, and leaves out what
// the plan does not state.
func TestSiteCarriesOneLineOfPower(t *testing.T) {
	r := polereach(t, "site", "--pole", "Cold Hollow", sunPlan)
	if !strings.Contains(r.out, "  power: DIES in December") {
		t.Errorf("exit %d: %s%s", r.code, r.out, r.err)
	}
	r = polereach(t, "site", "--pole", "Sunny Shoulder", "--format", "json", sunPlan)
	if !strings.Contains(r.out, `"power": {`) || !strings.Contains(r.out, `"verdict": "lives"`) {
		t.Errorf("exit %d: %s", r.code, r.err)
	}
	r = polereach(t, "site", "--pole", "Sorrel Ridge", demo+"plan.geojson")
	if strings.Contains(r.out, "\n  power: ") || r.code != exitHolds {
		t.Errorf("exit %d: %s", r.code, r.out)
	}
	bad := changedPlan(t, "Sunny Shoulder", map[string]any{"panel_w": "five"})
	r = polereach(t, "site", "--pole", "Sunny Shoulder", bad)
	if out := strings.Join(strings.Fields(r.out), " "); !strings.Contains(out, "power not judged") ||
		!strings.Contains(out, `panel_w: found "five"`) {
		t.Errorf("exit %d: %s", r.code, r.out)
	}
}
