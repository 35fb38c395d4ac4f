package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestSunBadInput(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	short := write("short.json", `{"global_kwh_m2_day": [1, 2, 3], "air_c": [1]}`)
	sums := write("sums.json", `{"global_kwh_m2_day": [60, 70, 120, 150, 170, 180, 180, 160, 130, 100, 70, 55]}`)
	typo := write("typo.json", `{"global": [1]}`)
	badPole := write("bad.geojson", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[-84.24,36.55]},
		"properties":{"name":"Bad","height_m":3,"panel_w":-1,"panel_tilt_deg":95,"cell_mah":3000,"cells":0}}]}`)
	for _, c := range []struct {
		name string
		args []string
		want []string
	}{
		{"no plan", []string{"--pole", "X"}, []string{"want one plan file"}},
		{"unknown pole", []string{"--pole", "Sunny Sholder", sunPlan}, []string{`did you mean "Sunny Shoulder"`}},
		{"picture", []string{"--pole", "Sunny Shoulder", "--picture", "a.gif", sunPlan}, []string{".svg or .png"}},
		{"obstacles", []string{"--pole", "Sunny Shoulder", "--obstacle", "az=10,elev=5", "--obstacle", "elev=3", "--obstacle", "tree", sunPlan}, []string{`"az=10"`, `"elev=3"`, `"tree"`}},
		{"two climates", []string{"--pole", "Sunny Shoulder", "--clearness", "0.4", "--climate", sums, sunPlan}, []string{"give one of"}},
		{"clearness", []string{"--pole", "Sunny Shoulder", "--clearness", "7", sunPlan}, []string{"allowed 0.05 to 0.8"}},
		{"short lists", []string{"--pole", "Sunny Shoulder", "--climate", short, sunPlan}, []string{"global_kwh_m2_day: found 3", "air_c: found 1"}},
		{"sums of months", []string{"--pole", "Sunny Shoulder", "--climate", sums, sunPlan}, []string{"sum of the month"}},
		{"unknown key", []string{"--pole", "Sunny Shoulder", "--climate", typo, sunPlan}, []string{"global_kwh_m2_day"}},
		{"no weather", []string{"--pole", "Sunny Shoulder", "--weather", "none.epw", sunPlan}, []string{"none.epw"}},
		{"not a weather file", []string{"--pole", "Sunny Shoulder", "--weather", typo, sunPlan}, []string{"typo.json",
			"latitude and longitude are not both stated"}},
		{"shift alone", []string{"--pole", "Sunny Shoulder", "--weather-shift-h", "1", sunPlan}, []string{"without --weather"}},
		{"search", []string{"--pole", "Sunny Shoulder", "--search-m", "-1", sunPlan}, []string{"allowed 0 to 5000"}},
		{"height", []string{"--pole", "Sunny Shoulder", "--panel-height-m", "0", sunPlan}, []string{"panel-height-m: found 0"}},
		{"station", []string{"--pole", "Bad", "--dem", demo + "dem", badPole}, []string{
			`feature 0 ("Bad"): panel_w: found -1, allowed 0.01 to 500 W`, "panel_tilt_deg: found 95",
			"cells: found 0, allowed a whole number 1 to 100"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := polereach(t, append([]string{"sun"}, c.args...)...)
			if r.code != exitUsage || r.out != "" {
				t.Errorf("exit %d, stdout %q", r.code, r.out)
			}
			for _, want := range c.want {
				if !strings.Contains(r.err, want) {
					t.Errorf("no %q in %s", want, r.err)
				}
			}
		})
	}
}

// Nothing known of the place: a default climate, said so, and a pole off the
// terrain is not judged.
func TestSunWithoutClimateOrTerrain(t *testing.T) {
	r := polereach(t, "sun", "--pole", "Sunny Shoulder", "--clearness", "0.45", sunPlan)
	if !strings.Contains(r.out, "clearness 0.45 in all months") {
		t.Error("the climate is not named")
	}
	r = polereach(t, "sun", "--at", "8,46.5", sunPlan)
	if r.code != exitUnjudged || !strings.Contains(r.out, "outside the terrain") ||
		!strings.Contains(r.out, "ground unknown") {
		t.Errorf("exit %d: %s%s", r.code, r.out, r.err)
	}
}
