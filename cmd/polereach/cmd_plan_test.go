package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
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
				for _, key := range []string{"distance_m", "azimuth_deg", "elevation_deg", "path", "situation", "clearance_f1",
					"clearance_at_m", "loss_db",
					"rx_dbm", "sensitivity_dbm", "snr_db", "margin_db", "sigma_db", "probability", "delivery", "verdict", "reasons",
					"required"} {
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
		r := polereach(t, append([]string{"plan", "--shard", fmt.Sprintf("%d/%d", i, n), "--out", file, demoPlan},
			flags...)...)
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
	if r := polereach(t, "plan", "--shard", "1/2", "--out", first,
		filepath.Join(elsewhere, "plan.geojson")); r.code != exitHolds {
		t.Fatal(r.err)
	}
	if r := polereach(t, "plan", "--merge", first, shards(t, 2)[1]); r.code != exitHolds ||
		r.out != polereach(t, "plan", demoPlan).out {
		t.Errorf("exit %d, stderr %q", r.code, r.err)
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
	changed := strings.Replace(string(text), `"name": "Sorrel Ridge", "status": "proposed", "height_m": 6`,
		`"name": "Sorrel Ridge", "status": "proposed", "height_m": 2`, 1)
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
	for _, want := range []string{"  Worse\n", "  * Sorrel Ridge - Beacon Field: ", "Ferry Flat - Mill Bottom (short): " +
		"not asked for, was wanted", "Westledge - Long Bench (reaches): wanted, was not asked for"} {
		if !strings.Contains(byPlan.out, want) {
			t.Errorf("no %q in\n%s", want, byPlan.out)
		}
	}
	same := polereach(t, "plan", "--changed-from", result, demoPlan)
	if !strings.Contains(same.out, " as before") || !strings.Contains(same.out, "No pair differs") {
		t.Errorf("against itself:\n%s", same.out)
	}
}
