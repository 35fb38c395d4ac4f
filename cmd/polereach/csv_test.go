package main

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"
)

func rowsOf(t *testing.T, args ...string) []map[string]string {
	t.Helper()
	r := polereach(t, append(args, "--format", "csv")...)
	records, err := csv.NewReader(strings.NewReader(r.out)).ReadAll()
	if err != nil || len(records) < 2 {
		t.Fatalf("%v: exit %d, %v, %s", args, r.code, err, r.err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, key := range records[0] {
			row[key] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// What site, link and plan write of the same path in CSV is the same: columns of the mesh
// and of what is kept of wanted links alone apart.
func TestCSVOfSiteLinkAndPlan(t *testing.T) {
	ofPlan := rowsOf(t, "plan", demoPlan)
	compared := 0
	compare := func(what string, got, want map[string]string, apart ...string) {
		t.Helper()
		compared++
		if len(got) != len(want) {
			t.Errorf("%s: %d columns, %d in plan", what, len(got), len(want))
		}
		for key, value := range want {
			if !slices.Contains(apart, key) && got[key] != value {
				t.Errorf("%s: %s is %q, %q in plan", what, key, got[key], value)
			}
		}
	}
	ofMesh := []string{"role", "joined_pairs", "redundant_pairs", "detour_transmissions"}
	for _, row := range rowsOf(t, "site", "--pole", "Sorrel Ridge", demoPlan) {
		for _, want := range ofPlan {
			if row["from"] == want["from"] && row["to"] == want["to"] {
				apart := ofMesh
				if want["wanted"] == "false" {
					apart = append(slices.Clone(apart), "reasons")
				}
				compare(row["to"], row, want, apart...)
			}
		}
	}
	if compared < 5 {
		t.Errorf("%d rows compared", compared)
	}
	link := rowsOf(t, "link", "-84.2405,36.5565", "-84.2308,36.485", "--height-a-m", "6", "--height-b-m", "8",
		"--tx-dbm", "22", "--freq-mhz", "915", "--sf", "10", "--bw-khz", "500", "--feed-loss-db", "0.5", "--band", "us915",
		"--dem", demo+"dem")
	for _, want := range ofPlan {
		if want["from"] == "Sorrel Ridge" && want["to"] == "Tanager Knob" {
			compare("link", link[0], want, append(ofMesh, "from", "to", "wanted", "required", "reasons")...)
			return
		}
	}
	t.Error("plan has no row for the link")
}

// Terrain that is missing, and ground without places: fields stay empty where nothing is known.
func TestCSVOfLittleKnown(t *testing.T) {
	gap := rowsOf(t, "link", "-83.9,36.6", "-84.2405,36.5565", "--height-m", "5", "--dem", demo+"dem")[0]
	if gap["verdict"] != "unknown" || gap["gap"] == "" || gap["gap_lon_deg"] == "" || gap["margin_db"] != "" {
		t.Errorf("%v", gap)
	}
	ground := write(t, "g.csv", []byte("dist_m,ground_m\n0,100\n500,120\n1000,100\n"))
	row := rowsOf(t, "link", "--ground", ground, "--height-m", "5")[0]
	if row["azimuth_a_deg"] != "" || row["clearance_lon_deg"] != "" || row["clearance_f1"] == "" ||
		row["distance_m"] != "1000" {
		t.Errorf("%v", row)
	}
}
