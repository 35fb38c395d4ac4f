package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// odd is what no output may hold as it is: it turns a terminal red, with eight bits too, and
// the direction of writing.
const odd = "\x1b[31m\u009b31m\u202e\u200b\x7f"

// seen fails where any of the odd characters comes out as it is.
func seen(t *testing.T, args []string) result {
	t.Helper()
	got := polereach(t, args...)
	if i := strings.IndexAny(got.out+got.err, "\x1b\a\x7f\u009b\u202e\u200b"); i >= 0 {
		t.Errorf("%v: %q", args, (got.out + got.err)[max(0, i-40):i+4])
	}
	return got
}

// What strangers wrote into names, notes, titles and file names does not reach a terminal
// as it is, in any format; JSON says the same all the same.
func TestStrangersTextIsVisible(t *testing.T) {
	long(t)
	dir := demoCopy(t)
	const bidi, escaped = "Cutler\u202e\u200bRock", `"\u001b[31m\u009b31m\u202e\u200b\u007f"`
	for _, name := range []string{"plan.geojson", "spots.geojson", "sun.geojson"} {
		path := filepath.Join(dir, name)
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		bad := strings.ReplaceAll(string(data), `"Cutler Rock"`, `"`+bidi+`"`)
		bad = strings.ReplaceAll(bad, `"properties"`, `"other":`+escaped+`,"properties"`)
		bad = strings.Replace(bad, `"features"`, `"title":"`+strings.ReplaceAll(odd, "\x1b", "")+`","features"`, 1)
		if err := os.WriteFile(path, []byte(bad), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	into := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Skip("no such file names here:", err)
		}
		return path
	}
	if err := os.Mkdir(filepath.Join(dir, "rasters"), 0o755); err != nil {
		t.Fatal(err)
	}
	into(filepath.Join("rasters", odd+".tif"), "II*")
	climate := into("odd.json", `{"source":`+escaped+`,"global_kwh_m2_day":[1,2,3,4,5,6,6,5,4,3,2,1]}`)
	hours := into("odd.epw", strings.Replace(greyYear(), "LOCATION,", "LOCATION,"+odd, 1))
	plan, spots, sun := filepath.Join(dir, "plan.geojson"), filepath.Join(dir, "spots.geojson"), filepath.Join(dir, "sun.geojson")
	for _, c := range []struct {
		formats []string
		args    []string
	}{
		{textOrJSON, []string{"site", "--pole", "Sorrel Ridge", plan}},
		{textOrJSON, []string{"site", "--pole", bidi, plan}},
		{planFormats, []string{"plan", "--advice", plan}},
		{textOrJSON, []string{"plan", "--without", bidi, plan}},
		{textOrJSON, []string{"coverage", "--pole", bidi, "--radius-km", "3", "--cell-m", "300", plan}},
		{planFormats, []string{"spots", "--top", "1", spots}},
		{textOrJSON, []string{"sun", "--pole", "Sunny Shoulder", "--climate", climate, sun}},
		{textOrJSON, []string{"sun", "--pole", "Sunny Shoulder", "--weather", hours, sun}},
		{textOrJSON, []string{"dem", filepath.Join(dir, "rasters")}},
	} {
		for _, format := range c.formats {
			got := seen(t, append([]string{c.args[0], "--format", format}, c.args[1:]...))
			if got.code == exitUsage && c.args[0] != "dem" || got.code == exitFailed {
				t.Errorf("%v in %s: exit %d, %s", c.args, format, got.code, got.err)
			}
			if strings.HasSuffix(format, "json") && got.out != "" {
				var any any
				if err := json.Unmarshal([]byte(got.out), &any); err != nil {
					t.Errorf("%v: %v", c.args, err)
				}
			}
			if c.args[0] == "plan" && format == "csv" && !strings.Contains(got.out, "Cutler<U+202E><U+200B>Rock") ||
				c.args[0] == "plan" && format == "geojson" && !strings.Contains(got.out, `Cutler\u202e\u200bRock`) {
				t.Errorf("%v in %s: the name is not spelt out", c.args, format)
			}
		}
	}
	// A part, whose seal is that of what is written, still merges.
	part := seen(t, []string{"plan", "--shard", "1/1", plan})
	merged := seen(t, []string{"plan", "--merge", "--format", "geojson", into("part.json", part.out)})
	if want := polereach(t, "plan", "--format", "geojson", plan).out; merged.out != want || want == "" {
		t.Errorf("merged: exit %d, %s, %d bytes, want %d", merged.code, merged.err, len(merged.out), len(want))
	}
}

// Nor does it by way of an error.
func TestStrangersTextInErrors(t *testing.T) {
	dir := demoCopy(t)
	plan, sun := filepath.Join(dir, "plan.geojson"), filepath.Join(dir, "sun.geojson")
	quoted, _ := json.Marshal(odd)
	word := string(quoted)
	into := func(name, text string) string { return write(t, name, []byte(text)) }
	pole := []string{"site", "--pole", "Sorrel Ridge"}
	for name, args := range map[string][]string{
		"a name that is not there": {"site", "--pole", odd, plan},
		"a file that is not there": {"plan", odd},
		"a flag":                   {"plan", "--" + odd, plan},
		"a command":                {odd},
		"a radio key":              append(pole, "--radio", into("r.json", `{`+word+`:1}`), plan),
		"a radio value":            append(pole, "--radio", into("r.json", `{"sf":`+word+`}`), plan),
		"a radio band":             append(pole, "--radio", into("r.json", `{"band":`+word+`}`), plan),
		"a radio key twice":        append(pole, "--radio", into("r.json", `{`+word+`:1,`+word+`:2}`), plan),
		"a radio file of garbage":  append(pole, "--radio", into("r.json", odd), plan),
		"a climate key":            {"sun", "--pole", "Sunny Shoulder", "--climate", into("c.json", `{`+word+`:1}`), sun},
		"a climate unit": {"sun", "--pole", "Sunny Shoulder", "--climate", into("c.json",
			`{"properties":{"parameter":{}},"parameters":{"ALLSKY_SFC_SW_DWN":{"units":`+word+`}}}`), sun},
		"a weather head": {"sun", "--pole", "Sunny Shoulder", "--weather", into("w.epw",
			strings.Replace(greyYear(), "LOCATION,", odd+",", 1)), sun},
		"a weather row": {"sun", "--pole", "Sunny Shoulder", "--weather", into("w.epw", greyYear()+odd+",1,2\n"), sun},
		"a plan's crs": {"plan", into("p.geojson", `{"type":"FeatureCollection","crs":{"properties":{"name":`+word+
			`}},"features":[]}`)},
		"a plan's name": {"plan", into("p.geojson", collection(feature(`{"name":`+word+`}`, point("[1,2]"))))},
		"a plan's key": {"plan", into("p.geojson", collection(feature(`{"name":"A","heigth_m\u202e":1,`+word+`:1,`+word+
			`:2}`, point("[1,2]"))))},
		"a plan's type":    {"plan", into("p.geojson", `{"type":`+word+`}`)},
		"a plan's garbage": {"plan", into("p.geojson", odd)},
		"a zip entry":      append(pole, "--dem", into("N36W085.hgt.zip", string(zipped(t, odd+".hgt", []byte("x")))), plan),
		"a grid's head":    append(pole, "--dem", into("g.asc", "ncols 2\n"+odd+" 3\n"), plan),
		"a grid's height":  append(pole, "--dem", into("g.asc", "ncols 2\nnrows 2\nxllcorner 1\nyllcorner 1\ncellsize 1\n1 "+odd+" 2 3\n"), plan),
		"a part":           {"plan", "--merge", into("part.json", `{"command":`+word+`,"schema":3}`)},
		"an earlier answer": {"plan", "--changed-from", into("old.json", `{"schema":1,"command":`+word+`}`),
			plan},
		"a profile": {"link", "--height-m", "5", "--ground", into("p.csv", "dist_m,"+odd+"\n0,1\n")},
	} {
		if got := seen(t, args); got.code == exitHolds {
			t.Errorf("%s: exit 0", name)
		}
	}
}

// Settings are numbers as JSON has them: no base 8 or 16, in a text neither.
func TestRadioNumbersAreDecimal(t *testing.T) {
	for _, value := range []string{`"0x9"`, `"011"`, `"0b1001"`, `"1_0"`, `" 9"`, `""`, `null`, `011`, `0x9`} {
		refused(t, polereach(t, "site", "--pole", "Sorrel Ridge", "--radio",
			write(t, "r.json", []byte(`{"sf":`+value+`}`)), demoPlan), "r.json")
	}
	refused(t, polereach(t, "site", "--pole", "Sorrel Ridge", "--radio",
		write(t, "r.json", []byte(`{"freq_mhz":"0x1p9"}`)), demoPlan), `freq_mhz: found "0x1p9", want a number in MHz`)
}
