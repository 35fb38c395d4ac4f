package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/band"
)

// What begin writes is a plan with settings that the other commands take as they are.
func TestBeginMakesAPlan(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "hills")
	r := polereach(t, "begin", "--from", "../../examples/begin/walk.gpx", "--band", "eu868", folder)
	if r.code != exitHolds || r.err != "" || !strings.Contains(r.out, "proposed poles: 3") ||
		!strings.Contains(r.out, "polereach dem get "+folder+"/plan.geojson") {
		t.Fatalf("exit %d, %s%s", r.code, r.out, r.err)
	}
	if got := namesIn(t, folder); !slices.Equal(got, []string{"plan.geojson", "radio.json"}) {
		t.Errorf("in the folder: %v", got)
	}
	r = polereach(t, "plan", folder+"/plan.geojson", "--dem", demo+"dem")
	for _, want := range []string{"868.1 MHz  SF9  125 kHz", "Heron Ridge", "Rules of eu868: no pole is beyond"} {
		if !strings.Contains(r.out, want) {
			t.Errorf("no %q in %s%s", want, r.out, r.err)
		}
	}
	before, err := os.ReadFile(folder + "/plan.geojson")
	if err != nil {
		t.Fatal(err)
	}
	r = polereach(t, "begin", "--at", "10,50", "--band", "eu868", folder)
	after, _ := os.ReadFile(folder + "/plan.geojson")
	if r.code != exitUsage || !strings.Contains(r.err, "is there already") || string(after) != string(before) {
		t.Errorf("a second time: exit %d, %s", r.code, r.err)
	}
}

// Poles told with longitude and latitude exchanged are seen where they lie.
func TestBeginTellsWhere(t *testing.T) {
	folder := t.TempDir()
	for name, c := range map[string]struct{ rows, want string }{
		"right":     {"36.55,-84.24\n36.5,-84.2\n", "proposed poles: 2, longitude -84.2400 to -84.2000, latitude 36.5000 to 36.5500\n"},
		"exchanged": {"-84.24,36.55\n", "latitude -84.2400 to -84.2400, in Antarctica: are longitude and latitude exchanged?\n"},
	} {
		table := filepath.Join(folder, name+".csv")
		if err := os.WriteFile(table, []byte("lat,lon\n"+c.rows), 0o644); err != nil {
			t.Fatal(err)
		}
		r := polereach(t, "begin", "--from", table, "--band", "eu868", filepath.Join(folder, name))
		if r.code != exitHolds || !strings.Contains(r.out, c.want) {
			t.Errorf("%s: exit %d, no %q in %s%s", name, r.code, c.want, r.out, r.err)
		}
	}
}

// Settings to begin with keep the table of every band that has a row for a fixed frequency.
func TestBeginKeepsTheBand(t *testing.T) {
	for _, b := range band.Names() {
		folder := filepath.Join(t.TempDir(), "x")
		hops := b == band.IN865 // its rows are for hopping, or for devices that report places
		if r := polereach(t, "begin", "--at", "10,50", "--band", string(b), folder); r.code != exitHolds ||
			strings.Contains(r.out, "caution: the table of "+string(b)+" has no row") != hops {
			t.Fatalf("%s: exit %d, %s%s", b, r.code, r.out, r.err)
		}
		r := polereach(t, "airtime", "--radio", folder+"/radio.json")
		if r.code != exitHolds || strings.Contains(r.out, " kHz: beyond the table") != hops {
			t.Errorf("%s: exit %d, %s%s", b, r.code, r.out, r.err)
		}
	}
}

// Names are made unique, and what is missing or wrong is told at once.
func TestBeginNamesAndRefusals(t *testing.T) {
	dir := t.TempDir()
	table := filepath.Join(dir, "places.csv")
	if err := os.WriteFile(table, []byte("name,lat,lon\nOak,50,10\n oak ,50.1,10\n,50.2,10\nOak,50.3,10\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if r := polereach(t, "begin", "--from", table, "--band", "uk868", dir+"/a"); r.code != exitHolds {
		t.Fatal(r.err)
	}
	text, _ := os.ReadFile(dir + "/a/plan.geojson")
	for _, want := range []string{`"Oak"`, `"oak (2)"`, `"Pole 3"`, `"Oak (3)"`} {
		if !strings.Contains(string(text), want) {
			t.Errorf("no %s in %s", want, text)
		}
	}
	r := polereach(t, "begin", "--height-m", "500")
	for _, want := range []string{"begin: want one folder", "--from FILE", "give --band, one of: eu868", "height-m: found 500"} {
		if r.code != exitUsage || !strings.Contains(r.err, want) {
			t.Errorf("exit %d, no %q in %s", r.code, want, r.err)
		}
	}
	if err := os.WriteFile(table, []byte("name,lat,lon\nOak,95,10\nElm,x,10\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	r = polereach(t, "begin", "--from", table, "--band", "uk868", dir+"/b")
	if r.code != exitUsage || strings.Count(r.err, table+": row") != 2 || exists(dir+"/b") {
		t.Errorf("exit %d, %s", r.code, r.err)
	}
}
