package main

import (
	"encoding/json"
	"fmt"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// readBack is what ogrinfo tells of one: fields by name in small letters, and the geometry.
type readBack struct {
	fields   map[string]string
	geometry string
}

var fieldLine = regexp.MustCompile(`^  (\w+) \(\w+\) = (.*)$`)

// ogrinfo reads a file back by GDAL, layer by layer; without it the test is skipped.
func ogrinfo(t *testing.T, path string, layers ...string) (list []readBack) {
	t.Helper()
	program, err := exec.LookPath("ogrinfo")
	if err != nil {
		t.Skip("ogrinfo is not installed (gdal-bin): KML and GPX are not read back by it")
	}
	if len(layers) == 0 {
		layers = []string{"-al"}
	}
	out, err := exec.Command(program, append([]string{"-ro", "-q", path}, layers...)...).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, line := range strings.Split(string(out), "\n") {
		if strings.HasPrefix(line, "OGRFeature(") {
			list = append(list, readBack{fields: map[string]string{}})
		}
		if len(list) == 0 {
			continue
		}
		f := &list[len(list)-1]
		if m := fieldLine.FindStringSubmatch(line); m != nil {
			f.fields[strings.ToLower(m[1])] = m[2]
		}
		if strings.HasPrefix(line, "  POINT") || strings.HasPrefix(line, "  LINESTRING") {
			f.geometry = strings.TrimSpace(line)
		}
	}
	return list
}

// Every pole and every link that is wanted or reaches comes back from both formats, with its
// place, height and figures, which are those of the JSON.
func TestPlanReadBackByOgrinfo(t *testing.T) {
	dir := t.TempDir()
	file := func(format string) string {
		path := filepath.Join(dir, "plan."+format)
		if r := polereach(t, "plan", "--format", format, "--out", path, demoPlan); r.code != exitHolds || r.err != "" {
			t.Fatalf("%s: exit %d, %s", format, r.code, r.err)
		}
		return path
	}
	var want struct {
		Poles []struct {
			Name    string
			LonDeg  float64 `json:"lon_deg"`
			LatDeg  float64 `json:"lat_deg"`
			GroundM float64 `json:"ground_m"`
			HeightM float64 `json:"height_m"`
		}
		Links []struct {
			From, To, Verdict string
			Wanted            bool
			DistM             float64 `json:"distance_m"`
			AzimuthDeg        float64 `json:"azimuth_deg"`
			MarginDB          float64 `json:"margin_db"`
		}
	}
	if err := json.Unmarshal([]byte(polereach(t, "plan", "--format", "json", demoPlan).out), &want); err != nil {
		t.Fatal(err)
	}
	named := func(list []readBack) map[string]readBack {
		all := map[string]readBack{}
		for _, f := range list {
			all[f.fields["name"]] = f
		}
		return all
	}
	kml := named(ogrinfo(t, file("kml")))
	gpx := named(append(ogrinfo(t, file("gpx"), "waypoints"), ogrinfo(t, file("gpx"), "routes")...))
	count := 0
	for _, p := range want.Poles {
		count++
		for format, f := range map[string]readBack{"kml": kml[p.Name], "gpx": gpx[p.Name]} {
			numbers := strings.Fields(strings.Trim(strings.TrimLeft(f.geometry, "POINTZ "), "()"))
			if len(numbers) < 2 {
				t.Errorf("%s: %s is not there", format, p.Name)
				continue
			}
			lon, _ := strconv.ParseFloat(numbers[0], 64)
			lat, _ := strconv.ParseFloat(numbers[1], 64)
			if lon != p.LonDeg || lat != p.LatDeg {
				t.Errorf("%s: %s stands at %s", format, p.Name, f.geometry)
			}
		}
		if got := gpx[p.Name].fields["ele"]; got != strconv.FormatFloat(p.GroundM, 'f', 1, 64) &&
			got != strconv.FormatFloat(p.GroundM, 'f', 0, 64) {
			t.Errorf("gpx: the ground of %s is %s, want %.1f", p.Name, got, p.GroundM)
		}
		if got := kml[p.Name].fields["height_m"]; got != fmt.Sprintf("%.3f", p.HeightM) {
			t.Errorf("kml: %s is %s m up, want %g", p.Name, got, p.HeightM)
		}
	}
	for _, l := range want.Links {
		if !l.Wanted && l.Verdict != "reaches" {
			continue
		}
		count++
		name := l.From + " - " + l.To
		k, g := kml[name], gpx[name]
		if !strings.HasPrefix(k.geometry, "LINESTRING") || !strings.HasPrefix(g.geometry, "LINESTRING") {
			t.Errorf("%s: %q in KML, %q in GPX", name, k.geometry, g.geometry)
		}
		if k.fields["verdict"] != l.Verdict || g.fields["type"] != l.Verdict || k.fields["distance_m"] != fmt.Sprintf("%.3f",
			l.DistM) || k.fields["margin_db"] != fmt.Sprintf("%.3f", l.MarginDB) || k.fields["azimuth_deg"] != fmt.Sprintf(
			"%.4f", l.AzimuthDeg) {
			t.Errorf("%s: %v in KML, %v in GPX, want %+v", name, k.fields, g.fields, l)
		}
	}
	if len(kml) != count || len(gpx) != count || count < 30 {
		t.Errorf("%d features in KML, %d in GPX, want %d", len(kml), len(gpx), count)
	}
}

func TestSpotsReadBackByOgrinfo(t *testing.T) {
	dir := t.TempDir()
	for format, layer := range map[string]string{"kml": "poles", "gpx": "waypoints"} {
		path := filepath.Join(dir, "spots."+format)
		r := polereach(t, "spots", "--top", "2", "--format", format, "--out", path, demoPlan)
		if r.code != exitHolds || r.err != "" {
			t.Fatalf("%s: exit %d, %s", format, r.code, r.err)
		}
		spots := 0
		for _, f := range ogrinfo(t, path, layer) {
			if strings.HasPrefix(f.fields["name"], "Spot ") {
				spots++
			}
		}
		if spots != 2 {
			t.Errorf("%s: %d spots", format, spots)
		}
	}
}

// The two layers hold the poles and the links of the whole, each with one kind of geometry,
// as they stand in it.
func TestLayersOfGeoJSON(t *testing.T) {
	long(t)
	type collection struct {
		Features []struct {
			Properties map[string]any
			Geometry   struct{ Type string }
		}
	}
	read := func(args ...string) (c collection) {
		t.Helper()
		r := polereach(t, append(args, "--format", "geojson", demoPlan)...)
		if err := json.Unmarshal([]byte(r.out), &c); err != nil {
			t.Fatalf("%v: %s", err, r.err)
		}
		return c
	}
	for _, args := range [][]string{{"plan"}, {"spots", "--top", "2"}} {
		whole := read(args...)
		poles, links := read(append(args, "--layer", "poles")...), read(append(args, "--layer", "links")...)
		count := map[string]int{}
		for _, f := range whole.Features {
			count[f.Geometry.Type]++
		}
		if len(poles.Features) != count["Point"] || len(links.Features) != count["LineString"] || count["Polygon"] == 0 {
			t.Errorf("%v: %d poles and %d links of %v", args, len(poles.Features), len(links.Features), count)
		}
		for _, f := range poles.Features {
			if f.Geometry.Type != "Point" || f.Properties["name"] == nil {
				t.Errorf("%v: %v among the poles", args, f)
			}
		}
		for _, f := range links.Features {
			if f.Geometry.Type != "LineString" || f.Properties["from"] == nil {
				t.Errorf("%v: %v among the links", args, f)
			}
		}
	}
	for _, args := range [][]string{{"--layer", "poles"}, {"--layer", "roads", "--format", "geojson"}} {
		if r := polereach(t, append(append([]string{"plan"}, args...), demoPlan)...); r.code != exitUsage ||
			!strings.Contains(r.err, "layer: found") {
			t.Errorf("%q: exit %d, %s", args, r.code, r.err)
		}
	}
}
