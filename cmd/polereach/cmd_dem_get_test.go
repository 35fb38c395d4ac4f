package main

import (
	"archive/zip"
	"bytes"
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// provider is a distribution on the loopback that has the demo's tile and level ground to
// the east of it.
func provider(t *testing.T) string {
	t.Helper()
	here, err := os.ReadFile(demo + "dem/N36W085.hgt.zip")
	if err != nil {
		t.Fatal(err)
	}
	var level bytes.Buffer
	z := zip.NewWriter(&level)
	w, err := z.Create("N36W084.hgt")
	if err == nil {
		_, err = w.Write(bytes.Repeat([]byte{1, 44}, 1201*1201))
	}
	if err != nil || z.Close() != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{"/N36W085.hgt.zip": here, "/N36W084.hgt.zip": level.Bytes(), "/bad/N36W085.hgt.zip": here[:5000]}
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/slow/N36W085.hgt.zip" && r.Method == http.MethodGet {
			<-r.Context().Done()
		}
		if data := files[strings.TrimPrefix(r.URL.Path, "/slow")]; data != nil {
			http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
			return
		}
		http.NotFound(w, r)
	}))
	t.Cleanup(s.Close)
	return s.URL
}

// From a plan alone to a verdict: unknown for want of terrain, the way told, fetched, judged.
func TestDEMGetBringsWhatAPlanNeeds(t *testing.T) {
	url := provider(t)
	dir := t.TempDir()
	for _, name := range []string{"plan.geojson", "radio.json"} {
		text, err := os.ReadFile(demo + name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	plan := filepath.Join(dir, "plan.geojson")
	if r := polereach(t, "plan", plan); r.code != exitUsage || !strings.Contains(r.err, "polereach dem get") {
		t.Errorf("without terrain: exit %d, %s", r.code, r.err)
	}
	r := polereach(t, "dem", "get", "--list", "--from", url+"/{tile}.hgt.zip", "--radius-km", "1", plan)
	if r.code != exitHolds || r.out != "N36W085  to be fetched\n" || !strings.Contains(r.err, "1 to fetch, ") {
		t.Errorf("list: exit %d, %s%s", r.code, r.out, r.err)
	}
	if _, err := os.Stat(filepath.Join(dir, "dem")); err == nil {
		t.Error("a list makes a folder")
	}
	r = polereach(t, "dem", "get", "--from", url+"/{tile}.hgt.zip", "--radius-km", "40", plan)
	if r.code != exitUnjudged || !strings.Contains(r.out, "N36W085  fetched") ||
		!strings.Contains(r.out, "N37W085  does not exist there: sea, or ground not surveyed; it stays unknown") {
		t.Errorf("exit %d, %s%s", r.code, r.out, r.err)
	}
	for _, want := range []string{"licence: ", "credit: ", " to fetch, "} {
		if !strings.Contains(r.err, want) {
			t.Errorf("no %q in %s", want, r.err)
		}
	}
	want := []string{"ATTRIBUTION.txt", "N36W084.hgt.zip", "N36W085.hgt.zip"}
	if got := namesIn(t, filepath.Join(dir, "dem")); !slices.Equal(got, want) {
		t.Errorf("in the folder: %v", got)
	}
	after, before := polereach(t, "plan", plan), polereach(t, "plan", demoPlan)
	if after.code != before.code || after.out != before.out {
		t.Errorf("the fetched terrain gives exit %d, %s, the demo's %d", after.code, after.err, before.code)
	}
	if r = polereach(t, "dem", "get", "--from", url+"/{tile}.hgt.zip", plan); !strings.Contains(r.out,
		"N36W085  there already: ") {
		t.Errorf("a second time: %s%s", r.out, r.err)
	}
}

// A command that lacks a tile names it and the way to it.
func TestLackedTilesAreNamed(t *testing.T) {
	dem := filepath.Join(t.TempDir(), "N37W086.hgt")
	if err := os.WriteFile(dem, bytes.Repeat([]byte{1, 44}, 1201*1201), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"site", "--pole", "Sorrel Ridge", demoPlan}, {"plan", demoPlan}, {"coverage", "--pole", "Sorrel Ridge", demoPlan},
		{"spots", demoPlan}, {"sun", "--pole", "Sorrel Ridge", demoPlan},
	} {
		r := polereach(t, append(args, "--dem", dem)...)
		if want := "no terrain in N36W085; to fetch what is missing: polereach dem get " +
			demoPlan; !strings.Contains(r.err, want) {
			t.Errorf("%s: exit %d, no %q in %s", args[0], r.code, want, r.err)
		}
	}
	r := polereach(t, "link", "--height-m", "5", "--dem", dem, "-85.5,37.5", "-84.5,37.5")
	if want := "no terrain in N37W085; to fetch what is missing: polereach dem get --at -84.99"; r.code !=
		exitUnjudged || !strings.Contains(r.err, want) {
		t.Errorf("link: exit %d, no %q in %s", r.code, want, r.err)
	}
}

// Without a network one still reads which tiles are needed, and where they go.
func TestDEMGetNamesTheTilesWithoutANetwork(t *testing.T) {
	server := httptest.NewServer(http.NotFoundHandler())
	server.Close()
	r := polereach(t, "dem", "get", "--list", "--at", "-84.05,36.5", "--from", server.URL+"/{tile}.hgt.zip", "--into",
		demo+"dem")
	if want := "needed are N36W084: try again or another --from, or put files of these tiles into the folder " + demo +
		"dem\n"; r.code != exitFailed || !strings.Contains(r.err, want) {
		t.Errorf("exit %d, no %q in %s", r.code, want, r.err)
	}
}

func TestDEMGetRefuses(t *testing.T) {
	url := provider(t)
	for _, c := range []struct {
		name string
		args []string
		code int
		want string
	}{
		{"nothing", nil, exitUsage, "give one of a plan, --at LON,LAT and --box"},
		{"two", []string{"--at", "1,2", demoPlan}, exitUsage, "give one of"},
		{"a word", []string{"--from", "moon", "--at", "1,2"}, exitUsage, "allowed srtm, glo30, joined"},
		{"no place in it", []string{"--from", "https://host/a.zip", "--at", "1,2"}, exitUsage, "{tile} stands for"},
		{"far too much", []string{"--box", "0,0,20,20"}, exitUsage, "400 tiles would be needed, allowed 100"},
		{"a place", []string{"--at", "36,-85x"}, exitUsage, "at: "},
		{"no tile", []string{"--at", "-84.5,36.5", "--radius-km", "1", "--from", url + "/bad/{tile}.hgt.zip"}, exitFailed,
			"N36W085: what came is no tile"},
	} {
		dir := t.TempDir()
		r := polereach(t, append([]string{"dem", "get", "--into", dir}, c.args...)...)
		if r.code != c.code || !strings.Contains(r.err, c.want) {
			t.Errorf("%s: exit %d, %s", c.name, r.code, r.err)
		}
		if left := namesIn(t, dir); len(left) != 0 {
			t.Errorf("%s: left behind %v", c.name, left)
		}
	}
	// Beyond the latitudes of a distribution nothing is asked.
	r := polereach(t, "dem", "get", "--list", "--at", "25,69.5", "--radius-km", "5")
	if r.code != exitUnjudged || !strings.Contains(r.out, "outside of latitudes -56 to 60") {
		t.Errorf("exit %d, %s%s", r.code, r.out, r.err)
	}
	dir := t.TempDir()
	ctx, stop := context.WithCancel(context.Background())
	time.AfterFunc(300*time.Millisecond, stop)
	var out, errOut bytes.Buffer
	code := run(ctx, []string{"polereach", "dem", "get", "--into", dir, "--at", "-84.1,36.5", "--radius-km", "20", "--from",
		url + "/slow/{tile}.hgt.zip"}, &out, &errOut)
	if code != exitFailed || !strings.Contains(errOut.String(), "interrupted, the tiles that came whole are in "+dir) {
		t.Errorf("interrupted: exit %d, %s", code, errOut.String())
	}
	if got := namesIn(t, dir); !slices.Equal(got, []string{"ATTRIBUTION.txt", "N36W084.hgt.zip"}) {
		t.Errorf("left behind: %v", got)
	}
}
