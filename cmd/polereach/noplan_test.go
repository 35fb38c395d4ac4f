package main

import (
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// What a plan says of a pole can be said by flags: the answers are the same.
func TestNoPlanNeeded(t *testing.T) {
	long(t)
	dem := demo + "dem"
	plan := filepath.Join(t.TempDir(), "plan.geojson")
	text := `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"the new pole","height_m":8,
		"panel_w":3,"panel_tilt_deg":60,"cell_wh":12},"geometry":{"type":"Point","coordinates":[-84.2405,36.5565]}}]}`
	if err := os.WriteFile(plan, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct{ with, without []string }{
		"coverage": {[]string{"coverage", "--pole", "the new pole", "--radius-km", "3", plan},
			[]string{"coverage", "--at", "-84.2405,36.5565", "--height-m", "8", "--radius-km", "3"}},
		"sun": {[]string{"sun", "--pole", "the new pole", "--climate", demo + "climate.json", "--search-m", "0", plan},
			[]string{"sun", "--at", "-84.2405,36.5565", "--panel-height-m", "8", "--climate", demo + "climate.json", "--search-m",
				"0", "--node", "panel_w=3", "--node", "panel_tilt_deg=60", "--node", "cell_wh=12"}},
	} {
		with, without := polereach(t, append(c.with, "--dem", dem)...), polereach(t, append(c.without, "--dem", dem)...)
		got := strings.Replace(without.out, "New pole", "the new pole", 1)
		if with.code != without.code || oneLine(with.out) != oneLine(got) || with.out == "" {
			t.Errorf("%s: exit %d and %d\n%s\n%s%s", name, with.code, without.code, with.out, got, without.err)
		}
	}
	r := polereach(t, "spots", "--around", "-84.24,36.55", "--reach", "-84.2308,36.485 -84.1592,36.5775", "--dem", dem)
	if r.code != exitHolds || !strings.Contains(r.out, "reaches 2 of 2 neighbours") {
		t.Errorf("spots: exit %d, %s%s", r.code, r.out, r.err)
	}
	for _, places := range []string{"-84.2308, 36.485 -84.1592, 36.5775", "-84.2308,36.485; -84.1592,36.5775"} {
		if other := polereach(t, "spots", "--around", "-84.24,36.55", "--reach", places, "--dem", dem); other.out != r.out {
			t.Errorf("spots --reach %q: exit %d, %s%s", places, other.code, other.out, other.err)
		}
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"sun", "--at", "1,2", "--node", "panel_q=3"}, "node: no property panel_q"},
		{[]string{"sun", "--at", "1,2", "--node", "panel_w"}, `node: found "panel_w", want KEY=VALUE`},
		{[]string{"sun", "--at", "1,2", "--node", "panel_w=3", "--node", "panel_w=4"}, "panel_w is given twice"},
		{[]string{"sun", "--at", "1,2", "--node", "panel_w=-3"}, "panel_w: found -3, allowed 0.01 to 500 W"},
		{[]string{"spots", "--around", "1,2", "--reach", "north"}, "reach: "},
		{[]string{"coverage"}, "want one plan file"},
	} {
		if r := polereach(t, append(c.args, "--dem", dem)...); r.code != exitUsage || !strings.Contains(r.err, c.want) {
			t.Errorf("%v: exit %d, %s", c.args, r.code, r.err)
		}
	}
}

// What a command without a plan, or with a plan whose name has a blank, says to do next is
// taken by the program.
func TestNextCommandsAreTaken(t *testing.T) {
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		io.WriteString(w, greyYear())
	}))
	defer server.Close()
	dem, err := filepath.Abs(demo + "dem")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	r := polereach(t, "sun", "--at", "-84.24,36.55", "--dem", dem)
	if !strings.Contains(oneLine(r.out), "polereach sun get --at -84.24,36.55 (asks") {
		t.Errorf("sun: %s%s", r.out, r.err)
	}
	r = polereach(t, "sun", "get", "--at", "-84.24,36.55", "--service", server.URL)
	if got := namesIn(t, "."); r.code != exitHolds || !slices.Contains(got, "weather.epw") {
		t.Errorf("sun get: exit %d, %s, in the folder %v", r.code, r.err, got)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"coverage", "--at", "10,50", "--height-m", "6", "--dem", dem}, "N50E010; to fetch what is missing: polereach dem " +
			"get --at 10,50\n"},
		{[]string{"spots", "--around", "-84.2,36.5", "--reach", "10,50", "--dem", dem}, "polereach dem get --at 10,50\n"},
		{[]string{"link", "-84.2,36.5", "-85.1,36.5", "--height-m", "5", "--dem", dem}, "in N36W086; to fetch what is missing: " +
			"polereach dem get --at -85"},
		{[]string{"link", "36.5,-84.2", "36.5,-84.1", "--height-m", "5", "--dem", dem}, "polereach: no terrain in S85E036, but " +
			"where longitude and latitude are exchanged: give longitude first\n"},
		{[]string{"link", "10,50", "10.1,50", "--height-m", "5"}, "fetch them: polereach dem get --at 10,50\n"},
		{[]string{"begin", "--at", "10,50", "--band", "eu868", "my hills"}, "polereach dem get 'my hills/plan.geojson'\n"},
		{[]string{"dem", "my hills/plan.geojson"}, "holds no grid of heights; those that a plan needs are fetched by: " +
			"polereach dem get 'my hills/plan.geojson'\n"},
		{[]string{"link", "-84.2,36.5", "-84.1,36.5", "--height-m", "5", "--dem", dem, "--out", "nowhere/x.txt"},
			"nowhere/x.txt: no folder nowhere\n"},
		{[]string{"spots", "--around", "10,50", "my hills/plan.geojson", "--dem", dem}, "no station of the plan stands: name " +
			"those to reach by --must NAME"},
		{[]string{"plan", "my hills/plan.geojson", "--dem", dem}, "note: one pole alone has no link " +
			"to judge"},
		{[]string{"plan", "my hills/plan.geojson"}, "fetch them: polereach dem get 'my hills/plan.geojson'\n"},
		{[]string{"site", "--at", "10.1,50", "my hills/plan.geojson", "--dem", dem}, "polereach dem get --at 10.1,50 --into " +
			"'my hills/dem'\n"},
		{[]string{"coverage", "--pole", "Pole 1", "my hills/plan.geojson", "--dem", dem}, "polereach dem get " +
			"'my hills/plan.geojson'\n"},
	} {
		if r := polereach(t, c.args...); !strings.Contains(r.out+r.err, c.want) {
			t.Errorf("%v: exit %d, no %q in %s%s", c.args, r.code, c.want, r.out, r.err)
		}
	}
}

// The area and the spots of a pole beyond the band's table are not told without a word on it:
// at most 1 W conducted and at least 500 kHz of one channel (47 CFR 15.247(a)(2), (b)(3)).
func TestAreasAndSpotsTellTheBandsTable(t *testing.T) {
	for _, command := range [][]string{
		{"coverage", "--at", "-84.2405,36.5565", "--height-m", "8", "--radius-km", "1", "--dem", demo + "dem"},
		{"spots", "--around", "-84.24,36.55", "--search-km", "0.3", "--reach", "-84.2308,36.485", "--dem", demo + "dem"},
	} {
		for flags, want := range map[string]string{
			"":                          "caution: no band chosen: --band shows the rules",
			"--band us915 --tx-dbm 30":  "caution: rules of us915: no pole is beyond the table as set up here; what",
			"--band us915 --tx-dbm 31":  "caution: rules of us915: beyond the table as set up here: the new pole,",
			"--band us915 --bw-khz 125": "caution: rules of us915: beyond the table as set up here: the new pole,",
		} {
			r := polereach(t, append(command, strings.Fields(flags)...)...)
			if !strings.Contains(oneLine(r.out), want) {
				t.Errorf("%s %s: exit %d, no %q in %s%s", command[0], flags, r.code, want, r.out, r.err)
			}
		}
	}
}
