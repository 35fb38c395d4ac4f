package main

import (
	"encoding/xml"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// drawn runs the program with --picture once as PNG and once as SVG, and returns the SVG,
// which must be well-formed.
func drawn(t *testing.T, code int, args ...string) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"a.png", "a.svg"} {
		r := polereach(t, append([]string{args[0], "--picture", filepath.Join(dir, name)}, args[1:]...)...)
		if r.code != code || r.err != "" {
			t.Fatalf("exit %d, %s", r.code, r.err)
		}
	}
	f, err := os.Open(filepath.Join(dir, "a.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := png.Decode(f); err != nil {
		t.Error(err)
	}
	data, err := os.ReadFile(filepath.Join(dir, "a.svg"))
	if err != nil {
		t.Fatal(err)
	}
	for d := xml.NewDecoder(strings.NewReader(string(data))); ; {
		if _, err := d.Token(); err == io.EOF {
			return string(data)
		} else if err != nil {
			t.Fatal(err)
		}
	}
}

func TestSectionOfAPath(t *testing.T) {
	link := drawn(t, exitNotHeld, "link", "-84.2405,36.5565", "-84.15,36.65", "--height-m", "5", "--freq-mhz", "915",
		"--dem", demo+"dem")
	site := drawn(t, exitHolds, "site", "--pole", "Sorrel Ridge", "--to", "Mill Bottom", demo+"plan.geojson")
	// Figures of testdata/site.txt: 7.6 km, clear, 0.72 at 6.5 km.
	for _, want := range []string{"7.64 km, path clear", "decides: 6.5 km from A", "free 0.72 of the first",
		"B: Mill Bottom"} {
		if !strings.Contains(site, want) {
			t.Errorf("site: no %q", want)
		}
	}
	if !strings.Contains(link, "distance from A") {
		t.Error("link: no axis")
	}
}

func TestPictureOfAMesh(t *testing.T) {
	svg := drawn(t, exitHolds, "plan", "--gateway", "Tanager Knob", demo+"plan.geojson")
	for _, want := range []string{"12 poles, reaches", "North Cairn", "gateway", "proposed pole",
		"13 of 15 wanted links reach"} {
		if !strings.Contains(svg, want) {
			t.Errorf("no %q", want)
		}
	}
	for _, args := range [][]string{{"--shard", "1/2"}, {"--without", "North Cairn"}} {
		r := polereach(t, append(append([]string{"plan", "--picture", "a.svg"}, args...), demo+"plan.geojson")...)
		if r.code != exitUsage || !strings.Contains(r.err, "picture: ") {
			t.Errorf("%q: exit %d, %s", args, r.code, r.err)
		}
	}
}

func TestPictureOfAnArea(t *testing.T) {
	one := drawn(t, exitHolds, "coverage", "--pole", "Sorrel Ridge", "--radius-km", "3", demo+"plan.geojson")
	for _, want := range []string{"Sorrel Ridge: chance that the link closes", "receiver 2 m up, within 3 km, 915 MHz",
		"other pole", "not judged"} {
		if !strings.Contains(one, want) {
			t.Errorf("no %q", want)
		}
	}
	// The key of several poles has their names.
	who := drawn(t, exitHolds, "coverage", "--pole", "Sorrel Ridge", "--pole", "Tanager Knob", "--radius-km", "2",
		"--quantity", "who", demo+"plan.geojson")
	for _, name := range []string{"Sorrel Ridge", "Tanager Knob"} {
		if strings.Count(who, ">"+name+"<") != 2 { // beside its mark and in the key
			t.Errorf("%s stands %d times in the picture", name, strings.Count(who, ">"+name+"<"))
		}
	}
}

// Neighbours outside are named where their path leaves the chart, as far away as in the table.
func TestPictureOfSpots(t *testing.T) {
	svg := drawn(t, exitHolds, "spots", "--must", "Tanager Knob", "--at-least", "3", "--top", "3", demo+"plan.geojson")
	table := polereach(t, "spots", "--must", "Tanager Knob", "--at-least", "3", "--top", "3", demo+"plan.geojson").out
	table, _, _ = strings.Cut(table[strings.Index(table, "Spot 1"):], "Spot 2")
	for _, want := range []string{"3 spots, 3 of them serve", "Spot 1, 8 m", "Spot 3, 8 m", "ground searched",
		"marginal"} {
		if !strings.Contains(svg, want) {
			t.Errorf("no %q", want)
		}
	}
	for _, name := range []string{"Tanager Knob", "Beacon Field", "North Cairn", "Mill Bottom"} {
		_, after, _ := strings.Cut(table, name)
		km := strings.Fields(strings.TrimPrefix(after, " *"))[0] // the star of what must be reached
		if !strings.Contains(svg, ">"+name+" "+km+" km<") {
			t.Errorf("no %s %s km", name, km)
		}
	}
}

func TestSectionRefused(t *testing.T) {
	svg := filepath.Join(t.TempDir(), "a.svg")
	for _, c := range []struct {
		want string
		args []string
	}{
		{"--to NAME", []string{"--picture", svg}},
		{"--to NAME", []string{"--to", "Mill Bottom"}},
		{"the pole itself", []string{"--picture", svg, "--to", "Sorrel Ridge"}},
		{`no station "Mill"`, []string{"--picture", svg, "--to", "Mill"}},
		{"--range-km", []string{"--picture", svg, "--to", "North Cairn", "--range-km", "2"}},
		{".svg or .png", []string{"--picture", "a.gif", "--to", "Mill Bottom"}},
	} {
		r := polereach(t, append(append([]string{"site", "--pole", "Sorrel Ridge"}, c.args...), demo+"plan.geojson")...)
		if r.code != exitUsage || !strings.Contains(r.err, c.want) {
			t.Errorf("%q: exit %d, %s", c.args, r.code, r.err)
		}
		if _, err := os.Stat(svg); err == nil {
			t.Errorf("%q: a picture was written", c.args)
		}
	}
}
