package main

import (
	"bytes"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/plan"
)

// GDAL reads the GeoJSON: as many features, all properties of the input.
func TestPlanGeoJSONReadByOgrinfo(t *testing.T) {
	if _, err := exec.LookPath("ogrinfo"); err != nil {
		t.Skip("no ogrinfo: install gdal-bin to read the GeoJSON with GDAL")
	}
	file := filepath.Join(t.TempDir(), "mesh.geojson")
	if r := polereach(t, "plan", "--format", "geojson", "--gateway", gateway, "--out", file,
		demoPlan); r.code != exitHolds {
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
	in, err := readPlan(nil, demoPlan)
	if err != nil {
		t.Fatal(err)
	}
	if len(out.Warnings) > 0 || len(out.Stations) != len(in.Stations) || len(out.Links) != len(in.Links) ||
		len(out.Areas) != len(in.Areas) {
		t.Fatalf("%d stations, %d links, %d areas, warnings %q", len(out.Stations), len(out.Links), len(out.Areas),
			out.Warnings)
	}
	for i := range in.Stations {
		a, b := in.Stations[i], out.Stations[i]
		if a.Name != b.Name || a.At != b.At || a.Status != b.Status || !reflect.DeepEqual(a.HeightM, b.HeightM) ||
			!reflect.DeepEqual(a.GainDBi, b.GainDBi) {
			t.Errorf("station %d is %+v, was %+v", i, b, a)
		}
	}
	for i := range in.Links {
		if a, b := in.Links[i], out.Links[i]; a.From != b.From || a.To != b.To || a.Required != b.Required ||
			!reflect.DeepEqual(a.Line, b.Line) {
			t.Errorf("link %d is %+v, was %+v", i, b, a)
		}
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
	args := []string{"plan", "--dem", demo + "dem", "--radio", demo + "radio.json", "--gateway", gateway, "--format",
		"json"}
	want, got := polereach(t, append(args, demoPlan)...), polereach(t, append(args, again)...)
	if got.out != want.out || got.code != want.code || got.code != exitHolds {
		t.Errorf("exit %d, want %d; stderr %q; the answer is another one:\n%s", got.code, want.code, got.err, got.out)
	}
}
