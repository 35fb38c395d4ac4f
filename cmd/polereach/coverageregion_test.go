package main

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/polereach/polereach/linkbudget/plan"
)

// regionFlags are those of a quick region over the demonstration.
var regionFlags = []string{"coverage", "--radius-km", "8", "--cell-m", "300"}

// All poles together, in one run and in five parts made from two folders, are to the byte what they
// are by name.
func TestAllPolesAreThePolesByName(t *testing.T) {
	long(t)
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	read := func(name string) string {
		data, err := os.ReadFile(file(name))
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	p, err := plan.Read("plan.geojson", []byte(readDemo(t, "plan.geojson")))
	if err != nil {
		t.Fatal(err)
	}
	byName := regionFlags[:len(regionFlags):len(regionFlags)]
	for _, st := range p.Stations {
		byName = append(byName, "--pole", st.Name)
	}
	other := file("other")
	if err := os.CopyFS(other, os.DirFS(filepath.Clean(demo))); err != nil {
		t.Fatal(err)
	}
	merge := []string{"coverage", "--merge"}
	for n := 5; n >= 1; n-- {
		folder, out := demo, file(fmt.Sprintf("part-%d", n))
		if n%2 == 0 {
			folder = other + "/"
		}
		args := append(regionFlags[:len(regionFlags):len(regionFlags)], "--all-poles", "--shard", fmt.Sprintf("%d/5", n),
			"--workers", fmt.Sprint(n), "--out", out, folder+"plan.geojson")
		if r := polereach(t, args...); r.code != exitHolds || r.out != "" {
			t.Fatalf("shard %d: exit %d, %q", n, r.code, r.err)
		}
		merge = append(merge, out)
	}
	tif := file("x.tif") // the text names it
	for _, quantity := range []string{"probability", "who", "how-many"} {
		for _, format := range []string{"text", "json"} {
			var first, map1 string
			for name, args := range map[string][]string{
				"by name": append(byName, demo+"plan.geojson"), "parts": merge,
				"all": append(regionFlags[:len(regionFlags):len(regionFlags)], "--all-poles", demo+"plan.geojson"),
			} {
				r := polereach(t, append(args[:len(args):len(args)], "--tif", tif, "--quantity", quantity, "--format", format,
					"--levels", "90,50", "--out", file("answer"))...)
				if r.code != exitHolds {
					t.Fatalf("%s: exit %d, %q", name, r.code, r.err)
				}
				answer, raster := read("answer"), read("x.tif")
				if first == "" {
					first, map1 = answer, raster
				}
				if answer != first || raster != map1 {
					t.Errorf("%s, %s, %s: %d bytes of answer and %d of raster, others than %d and %d", name, quantity, format,
						len(answer), len(raster), len(first), len(map1))
				}
			}
		}
	}
	left, err := filepath.Glob(file(".*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left: %v, %v", left, err)
	}
}

func readDemo(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(demo + name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// Every flag that does not go with all poles, a part or a merge is told, all at once.
func TestRegionBadInput(t *testing.T) {
	p, part := demo+"plan.geojson", filepath.Join(t.TempDir(), "part")
	quick := []string{"coverage", "--radius-km", "1", "--all-poles", "--out", part}
	if r := polereach(t, append(quick, "--shard", "1/2", p)...); r.code != exitHolds {
		t.Fatal(r.err)
	}
	other := part + "2"
	r := polereach(t, "coverage", "--radius-km", "2", "--sf", "7", "--all-poles", "--out", other, "--shard", "2/2", p)
	if r.code != exitHolds {
		t.Fatal(r.err)
	}
	damaged, err := os.ReadFile(part)
	if err != nil {
		t.Fatal(err)
	}
	damaged[len(damaged)/2] ^= 1
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"--shard", "3/2", p}, []string{"shard: found \"3/2\"", "add --all-poles", "name its file with --out"}},
		{[]string{"--all-poles", "--shard", "1/2", "--levels", "50", "--format", "json", "--tif", "a.tif", p},
			[]string{"--format, --levels, --tif", "name its file"}},
		{[]string{"--all-poles", "--pole", "Long Bench", "--png", "a.png", "--picture", "a.svg", "--quantity", "loss", p},
			[]string{"leave out --pole", "--picture, --png", "loss of several poles"}},
		{[]string{"--all-poles", "--radius-km", "0", "--levels", "x", p}, []string{"radius-km", "levels"}},
		{[]string{"--all-poles", "--area", "-80,30,-79,31", p}, []string{"no cell of the area lies within"}},
		{[]string{"--all-poles"}, []string{"want one plan file"}},
		{[]string{"--merge"}, []string{"--merge wants the files of the parts"}},
		{[]string{"--merge", "--sf", "7", "--levels", "0", "--quantity", "margin", part},
			[]string{"merge: found --sf", "--levels, --out, --quantity, --tif", "levels: found", "margin of several poles"}},
		{[]string{"--merge", part, p, write(t, "damaged", damaged)},
			[]string{"plan.geojson: coverage part", "damaged: coverage part: its sha256"}},
		{[]string{"--merge", part}, []string{"part 2 of 2 is missing"}},
		{[]string{"--merge", part, other}, []string{"differ in the radio and its settings, the radius\n"}},
		{[]string{"--merge", part, "--out", part}, []string{"is read by this run"}},
	} {
		refused(t, polereach(t, append([]string{"coverage"}, c.args...)...), c.want...)
	}
}

// A pole on unknown ground is told with its shard, exit code 4, and nothing is written.
func TestRegionPolesOutsideTheTerrain(t *testing.T) {
	far := `{"type":"Feature","properties":{"name":"Far","height_m":5},"geometry":{"type":"Point","coordinates":[-83.5,36.5]}},`
	text := strings.Replace(readDemo(t, "plan.geojson"), `"features": [`, `"features": [`+far, 1)
	p, out := write(t, "plan.geojson", []byte(text)), filepath.Join(t.TempDir(), "part")
	r := polereach(t, "coverage", "--all-poles", "--shard", "1/1", "--out", out, "--radius-km", "1", "--dem", demo+"dem",
		"--radio", demo+"radio.json", p)
	if _, err := os.Stat(out); r.code != exitUnjudged || err == nil || !strings.Contains(r.err, `pole "Far"`) {
		t.Errorf("exit %d, %q, %v", r.code, r.err, err)
	}
}

// Ctrl-C at any stage: exit 1, a word, no part and nothing beside it.
func TestInterruptedRegion(t *testing.T) {
	dir, met := t.TempDir(), 0
	for _, wait := range []time.Duration{100, 300, 600, 1000, 2000} {
		cmd, errOut := program(t, false, "coverage", "--all-poles", "--radius-km", "90", "--shard", "1/1", "--out",
			filepath.Join(dir, "part"), demo+"plan.geojson")
		code, took, late, early := interruptedAfter(t, cmd, errOut, wait*time.Millisecond)
		if late || code == exitHolds || early {
			continue // it had ended, or had not begun to listen
		}
		met++
		entries, err := os.ReadDir(dir)
		if code != exitFailed || !strings.Contains(errOut.String(), "interrupted, nothing written") || err != nil ||
			len(entries) > 0 {
			t.Errorf("after %d ms: exit %d, %q, left %v, %v", wait, code, errOut, entries, err)
		}
		t.Logf("after %d ms: ended %d ms after the signal", wait, took.Milliseconds())
	}
	if met == 0 {
		t.Error("no signal met the program at work")
	}
}

// Real ground, two files: 15 poles near their seam within 10 km, in seven parts, are the bytes of one run.
func TestRegionOverTwoFiles(t *testing.T) {
	long(t)
	dem := os.Getenv("POLEREACH_DEM_DIR")
	if dem == "" {
		t.Skip("POLEREACH_DEM_DIR is not set: needs srtm3/N49E011.hgt.zip and N50E011.hgt.zip")
	}
	rng := rand.New(rand.NewPCG(7, 7))
	var text bytes.Buffer
	text.WriteString(`{"type":"FeatureCollection","features":[`)
	for i := range 15 {
		if i > 0 {
			text.WriteByte(',')
		}
		fmt.Fprintf(&text, `{"type":"Feature","properties":{"name":"Pole %d","height_m":8},"geometry":{"type":"Point",`+
			`"coordinates":[%.6f,%.6f]}}`, i, 11+rng.Float64(), 49.8+rng.Float64()*0.4)
	}
	text.WriteString("]}")
	p, dir := write(t, "plan.geojson", text.Bytes()), t.TempDir()
	region := []string{"coverage", "--all-poles", "--radius-km", "10", "--dem",
		filepath.Join(dem, "srtm3", "N49E011.hgt.zip"), "--dem",
		filepath.Join(dem, "srtm3", "N50E011.hgt.zip"), p}
	answer := func(args ...string) string {
		tif, out := filepath.Join(dir, "x.tif"), filepath.Join(dir, "answer")
		r := polereach(t, append(args, "--tif", tif, "--quantity", "who", "--out", out)...)
		a, errA := os.ReadFile(out)
		b, errB := os.ReadFile(tif)
		if r.code != exitHolds || errA != nil || errB != nil {
			t.Fatalf("exit %d, %q, %v, %v", r.code, r.err, errA, errB)
		}
		return string(a) + string(b)
	}
	merge := []string{"coverage", "--merge"}
	for n := range 7 {
		part := filepath.Join(dir, fmt.Sprint("part-", n))
		r := polereach(t, append(region[:len(region):len(region)], "--shard", fmt.Sprintf("%d/7", n+1), "--out", part)...)
		if r.code != exitHolds {
			t.Fatalf("shard %d: exit %d, %q", n, r.code, r.err)
		}
		merge = append(merge, part)
	}
	if one, seven := answer(region...), answer(merge...); one != seven {
		t.Errorf("%d bytes of one run, %d of seven parts, others", len(one), len(seven))
	}
}
