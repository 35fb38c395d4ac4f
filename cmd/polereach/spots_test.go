package main

import (
	"path/filepath"
	"strings"
	"testing"
)

func TestSpotsGolden(t *testing.T) {
	plan := demo + "plan.geojson"
	for _, c := range []struct {
		file string
		code int
		args []string
	}{
		{"spots.txt", exitHolds, []string{"spots", "--must", "Tanager Knob", "--at-least", "3", "--top", "2", plan}},
		{"spots.json", exitHolds, []string{"spots", plan, "--must", "Ferry Flat", "--at-least", "5", "--top", "1", "--format", "json"}},
		{"spots_none.txt", exitNotHeld, []string{"spots", "--must", "Hollow School", "--sf", "7", "--max-height-m", "3", "--top", "1", plan}},
		{"help_spots.txt", exitHolds, []string{"spots", "--help"}},
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

// The plan that comes out goes in again: the first spot is a station that site
// judges as spots did.
func TestSpotsPlanIsAPlan(t *testing.T) {
	out := filepath.Join(t.TempDir(), "more.geojson")
	r := polereach(t, "spots", "--must", "Tanager Knob", "--top", "2", "--plan-out", out, demo+"plan.geojson")
	if r.code != exitHolds || r.err != "" {
		t.Fatalf("exit %d, stderr %q", r.code, r.err)
	}
	r = polereach(t, "site", "--pole", "Spot 1", "--dem", demo+"dem", "--radio", demo+"radio.json", out)
	if r.code != exitHolds || !strings.Contains(r.out, "REACHES") {
		t.Errorf("exit %d, stdout %q, stderr %q", r.code, r.out, r.err)
	}
}

func TestSpotsBadInput(t *testing.T) {
	p := demo + "plan.geojson"
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"--must", "Tanager Nob", p}, []string{"did you mean"}},
		{[]string{"--at-least", "0", "--top", "-1", "--separation-m", "0", "--range-km", "-3", p}, []string{"at-least", "top", "separation-m", "range-km"}},
		{[]string{"--at-least", "40", p}, []string{"at least"}},
		{[]string{"--around", "-84.2,36.6", "--radius-km", "0", p}, []string{"radius-km"}},
		{[]string{"--around", "10,10", p}, []string{"no neighbour lies within"}},
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
