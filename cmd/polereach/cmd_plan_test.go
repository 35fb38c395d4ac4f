package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/plan"
)

const (
	demoPlan = demo + "plan.geojson"
	gateway  = "Tanager Knob"
)

func TestPlanGolden(t *testing.T) {
	all := []string{"plan", "--gateway", gateway, demoPlan}
	for _, c := range []struct {
		file string
		code int
		args []string
	}{
		{"plan.txt", exitHolds, all},
		{"plan.json", exitHolds, append(all, "--format", "json")},
		{"plan.csv", exitHolds, append(all, "--format", "csv")},
		{"plan.geojson", exitHolds, append(all, "--format", "geojson")},
		{"plan_pairs.txt", exitNotHeld, []string{"plan", "--range-km", "12", "--sf", "7", "--gateway", "Westledge", "--gateway", "North Cairn", demoPlan}},
		{"plan_advice.txt", exitNotHeld, []string{"plan", "--advice", "--tx-dbm", "12", "--sf", "7", demoPlan}},
		{"plan_difference.txt", exitNotHeld, append(all, "--without", "Sorrel Ridge", "--what-if", "pole=Sorrel Ridge,height_m=12,pole=Long Bench,status=proposed")},
		{"plan_difference.json", exitHolds, append(all, "--what-if", "pole=Sorrel Ridge,height_m=12", "--format", "json")},
		{"help_plan.txt", exitHolds, []string{"plan", "--help"}},
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

// The same links as site finds them, figure for figure: two ways through the
// program to one budget.
func TestPlanAgreesWithSite(t *testing.T) {
	var of struct {
		Links []map[string]any `json:"links"`
	}
	r := polereach(t, "plan", "--format", "json", demoPlan)
	if err := json.Unmarshal([]byte(r.out), &of); err != nil {
		t.Fatal(err, r.err)
	}
	links := of.Links
	compared := 0
	for _, pole := range []string{"Sorrel Ridge", "Tanager Knob", "Beacon Field"} {
		r := polereach(t, "site", "--pole", pole, "--format", "json", demoPlan)
		if err := json.Unmarshal([]byte(r.out), &of); err != nil {
			t.Fatal(err, r.err)
		}
		for _, want := range of.Links {
			for _, got := range links {
				if got["from"] != pole || got["to"] != want["to"] {
					continue
				}
				compared++
				for _, key := range []string{"distance_m", "azimuth_deg", "elevation_deg", "path", "situation", "clearance_f1", "clearance_at_m", "loss_db",
					"rx_dbm", "sensitivity_dbm", "snr_db", "margin_db", "sigma_db", "probability", "delivery", "verdict", "reasons", "required"} {
					if key == "reasons" && got["wanted"] == false {
						continue // a mesh gives them for links that somebody asked for
					}
					if !reflect.DeepEqual(got[key], want[key]) {
						t.Errorf("%s to %s: %s is %v, site says %v", pole, want["to"], key, got[key], want[key])
					}
				}
			}
		}
	}
	if compared < 10 {
		t.Errorf("only %d links compared", compared)
	}
}

// The same bytes for any number of workers.
func TestPlanSameBytesForAnyWorkers(t *testing.T) {
	for _, format := range planFormats {
		args := []string{"plan", "--gateway", gateway, "--format", format, demoPlan}
		want := polereach(t, append(args, "--workers", "1")...)
		if want.out == "" {
			t.Fatal(want.err)
		}
		for _, workers := range []string{"2", "8"} {
			if got := polereach(t, append(args, "--workers", workers)...); got.out != want.out || got.code != want.code {
				t.Errorf("%s: %s workers differ from 1", format, workers)
			}
		}
	}
}

// shards writes the parts of the demo plan and returns their files.
func shards(t *testing.T, n int, flags ...string) []string {
	t.Helper()
	dir := t.TempDir()
	var files []string
	for i := 1; i <= n; i++ {
		file := filepath.Join(dir, fmt.Sprintf("part%d.json", i))
		r := polereach(t, append([]string{"plan", "--shard", fmt.Sprintf("%d/%d", i, n), "--out", file, demoPlan}, flags...)...)
		if r.code != exitHolds || r.err != "" || r.out != "" {
			t.Fatalf("shard %d: exit %d, stdout %q, stderr %q", i, r.code, r.out, r.err)
		}
		files = append(files, file)
	}
	return files
}

// Seven shards, merged in any order, are the bytes of one run.
func TestPlanMergedShardsAreOneRun(t *testing.T) {
	flags := []string{"--gateway", gateway}
	files := shards(t, 7, flags...)
	for i, j := 0, len(files)-1; i < j; i, j = i+2, j-1 {
		files[i], files[j] = files[j], files[i]
	}
	for _, format := range planFormats {
		want := polereach(t, append([]string{"plan", demoPlan, "--format", format}, flags...)...)
		got := polereach(t, append([]string{"plan", "--merge", "--format", format}, files...)...)
		if got.out != want.out || got.code != want.code || got.out == "" {
			t.Errorf("%s: exit %d and %d; merged shards differ from one run; stderr %q", format, got.code, want.code, got.err)
		}
	}
}

// A part made elsewhere, from the same plan and terrain in other folders,
// belongs to the others.
func TestPlanPartsOfOtherFoldersBelongTogether(t *testing.T) {
	elsewhere := t.TempDir()
	if err := os.CopyFS(elsewhere, os.DirFS(demo)); err != nil {
		t.Fatal(err)
	}
	first := filepath.Join(elsewhere, "1")
	if r := polereach(t, "plan", "--shard", "1/2", "--out", first, filepath.Join(elsewhere, "plan.geojson")); r.code != exitHolds {
		t.Fatal(r.err)
	}
	if r := polereach(t, "plan", "--merge", first, shards(t, 2)[1]); r.code != exitHolds || r.out != polereach(t, "plan", demoPlan).out {
		t.Errorf("exit %d, stderr %q", r.code, r.err)
	}
}

// GDAL reads the GeoJSON: as many features, all properties of the input.
func TestPlanGeoJSONReadByOgrinfo(t *testing.T) {
	if _, err := exec.LookPath("ogrinfo"); err != nil {
		t.Skip("no ogrinfo: install gdal-bin to read the GeoJSON with GDAL")
	}
	file := filepath.Join(t.TempDir(), "mesh.geojson")
	if r := polereach(t, "plan", "--format", "geojson", "--gateway", gateway, "--out", file, demoPlan); r.code != exitHolds {
		t.Fatal(r.err)
	}
	listing := func(path string) string {
		out, err := exec.Command("ogrinfo", "-ro", "-al", "-q", path).CombinedOutput()
		if err != nil || bytes.Contains(out, []byte("ERROR")) || bytes.Contains(out, []byte("Warning")) {
			t.Fatalf("ogrinfo: %v\n%s", err, out)
		}
		return string(out)
	}
	in, out := ogrFeatures(listing(demoPlan)), ogrFeatures(listing(file))
	// 12 stations, 15 links, 1 polygon, and the other 51 of the 66 pairs.
	if len(in) != 28 || len(out) != 28+51 {
		t.Fatalf("%d and %d features, want 28 and 79", len(in), len(out))
	}
	for i := range in {
		for key, want := range in[i] {
			if out[i][key] != want {
				t.Errorf("feature %d: %s is %q, want %q", i, key, out[i][key], want)
			}
		}
	}
	link := out[12]
	for _, key := range []string{"verdict (String)", "margin_db (Real)", "probability (Real)", "role (String)"} {
		if link[key] == "" || link[key] == "(null)" {
			t.Errorf("the first link has no %s: %v", key, link)
		}
	}
}

// ogrFeatures reads the listing of ogrinfo: "  key (Type) = value" and a line
// of geometry per feature.
func ogrFeatures(listing string) []map[string]string {
	var list []map[string]string
	for _, line := range strings.Split(listing, "\n") {
		if strings.HasPrefix(line, "OGRFeature(") {
			list = append(list, map[string]string{})
			continue
		}
		if len(list) == 0 || line == "" {
			continue
		}
		key, value, ok := strings.Cut(strings.TrimSpace(line), " = ")
		if !ok {
			key, value = "geometry", strings.TrimSpace(line)
		}
		if value != "(null)" {
			list[len(list)-1][key] = value
		}
	}
	return list
}

// Our own reader: the same stations, links and areas, nothing to warn of.
func TestPlanGeoJSONReadByOurReader(t *testing.T) {
	r := polereach(t, "plan", "--format", "geojson", "--gateway", gateway, demoPlan)
	out, err := plan.Read("mesh.geojson", []byte(r.out))
	if err != nil {
		t.Fatal(err)
	}
	in, err := readPlan(demoPlan)
	if err != nil {
		t.Fatal(err)
	}
	if len(out.Warnings) > 0 || len(out.Stations) != len(in.Stations) || len(out.Links) != len(in.Links) || len(out.Areas) != len(in.Areas) {
		t.Fatalf("%d stations, %d links, %d areas, warnings %q", len(out.Stations), len(out.Links), len(out.Areas), out.Warnings)
	}
	for i := range in.Stations {
		a, b := in.Stations[i], out.Stations[i]
		if a.Name != b.Name || a.At != b.At || a.Status != b.Status || !reflect.DeepEqual(a.HeightM, b.HeightM) || !reflect.DeepEqual(a.GainDBi, b.GainDBi) {
			t.Errorf("station %d is %+v, was %+v", i, b, a)
		}
	}
	for i := range in.Links {
		if a, b := in.Links[i], out.Links[i]; a.From != b.From || a.To != b.To || a.Required != b.Required || !reflect.DeepEqual(a.Line, b.Line) {
			t.Errorf("link %d is %+v, was %+v", i, b, a)
		}
	}
}

// An older plan is checked again, an older result taken by its figures: both
// name the same changes.
func TestPlanChangedFrom(t *testing.T) {
	text, err := os.ReadFile(demoPlan)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	newer := filepath.Join(dir, "newer.geojson")
	changed := strings.Replace(string(text), `"name": "Sorrel Ridge", "status": "proposed", "height_m": 6`, `"name": "Sorrel Ridge", "status": "proposed", "height_m": 2`, 1)
	changed = strings.Replace(changed, `    {"type": "Feature", "properties": {"from": "Mill Bottom", "to": "Ferry Flat", "required": false}`,
		`    {"type": "Feature", "properties": {"from": "Westledge", "to": "Long Bench", "required": false}`, 1)
	if err := os.WriteFile(newer, []byte(changed), 0o644); err != nil {
		t.Fatal(err)
	}
	result := filepath.Join(dir, "result.geojson")
	if r := polereach(t, "plan", demoPlan, "--format", "geojson", "--out", result); r.code != exitHolds {
		t.Fatal(r.err)
	}
	beside := []string{"--dem", demo + "dem", "--radio", demo + "radio.json", newer}
	byPlan := polereach(t, append([]string{"plan", "--changed-from", demoPlan}, beside...)...)
	byResult := polereach(t, append([]string{"plan", "--changed-from", result}, beside...)...)
	a, b := strings.ReplaceAll(byPlan.out, demoPlan, "OLD"), strings.ReplaceAll(byResult.out, result, "OLD")
	_, a, _ = strings.Cut(a, "\n  ")
	_, b, _ = strings.Cut(b, "\n  ")
	if a != b || byPlan.code != byResult.code {
		t.Errorf("by plan:\n%s\nby result:\n%s", byPlan.out, byResult.out)
	}
	for _, want := range []string{"  Worse\n", "  * Sorrel Ridge - Beacon Field: ", "Ferry Flat - Mill Bottom (short): not asked for, was wanted", "Westledge - Long Bench (reaches): wanted, was not asked for"} {
		if !strings.Contains(byPlan.out, want) {
			t.Errorf("no %q in\n%s", want, byPlan.out)
		}
	}
	same := polereach(t, "plan", "--changed-from", result, demoPlan)
	if !strings.Contains(same.out, " as before") || !strings.Contains(same.out, "No pair differs") {
		t.Errorf("against itself:\n%s", same.out)
	}
}

// The GeoJSON of an answer is the same plan again: checked, it gives the answer of the
// plan that it came from.
func TestPairsMakeNoLinksOfThePlan(t *testing.T) {
	r := polereach(t, "plan", "--gateway", gateway, "--format", "geojson", demoPlan)
	if r.err != "" || !strings.Contains(r.out, `"wanted":false`) {
		t.Fatalf("no pair beside the links: %s", r.err)
	}
	again := write(t, "plan.geojson", []byte(r.out))
	args := []string{"plan", "--dem", demo + "dem", "--radio", demo + "radio.json", "--gateway", gateway, "--format", "json"}
	want, got := polereach(t, append(args, demoPlan)...), polereach(t, append(args, again)...)
	if got.out != want.out || got.code != want.code || got.code != exitHolds {
		t.Errorf("exit %d, want %d; stderr %q; the answer is another one:\n%s", got.code, want.code, got.err, got.out)
	}
}
