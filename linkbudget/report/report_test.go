package report_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/terrain"
)

// november is the date of the magnetic bearings.
var november = time.Date(2026, 11, 29, 0, 0, 0, 0, time.UTC)

// cone is level ground of 100 m with a hill of 60 m at longitude 10.05, and
// nothing east of 10.3.
type cone struct{}

func (cone) Extent() terrain.Extent {
	return terrain.Extent{Bound: orb.Bound{Min: orb.Point{9, 49}, Max: orb.Point{10.3, 51}}, StepLonDeg: 0.001,
		StepLatDeg: 0.001}
}

func (cone) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	for i, p := range at {
		heightM[i], flag[i] = 100, terrain.Ground
		if off := p.Lon() - 10.05; off > -0.01 && off < 0.01 {
			heightM[i] = 160
		}
		if p.Lon() > 10.3 {
			heightM[i], flag[i] = 0, terrain.Outside
		}
	}
	return nil
}

func site(t testing.TB) *mesh.Site {
	t.Helper()
	h := 8.0
	at := func(name string, lon float64) plan.Station {
		return plan.Station{Name: name, At: orb.Point{lon, 50}, HeightM: &h, Status: plan.Standing}
	}
	p := &plan.Plan{
		Stations: []plan.Station{at("Ash", 10), at("Birch", 10.03), at("A pole with a very long name indeed", 10.1),
			at("Elder", 10.4)},
		Links: []plan.Link{{From: "Ash", To: "Birch", Required: true}},
	}
	s, err := mesh.CheckSite(context.Background(), p, p.Stations[0], cone{}, mesh.SiteOptions{KeepProfiles: true,
		Settings: plan.Settings{
			Station:     linkbudget.DefaultStation("", 8),
			Environment: linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}},
		}})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func siteObject(t *testing.T, opt report.SiteOptions) map[string]any {
	t.Helper()
	var buf bytes.Buffer
	if err := report.SiteJSON(&buf, site(t), opt); err != nil {
		t.Fatal(err)
	}
	var v map[string]any
	if err := json.Unmarshal(buf.Bytes(), &v); err != nil {
		t.Fatalf("%v\n%s", err, buf.String())
	}
	return v
}

// The keys are a promise to programs that read them.
func TestSiteJSONKeys(t *testing.T) {
	v := siteObject(t, report.SiteOptions{})
	for _, key := range []string{"schema", "command", "pole", "settings", "links", "verdict", "reached", "of",
		"cautions"} {
		if _, ok := v[key]; !ok {
			t.Errorf("no key %q", key)
		}
	}
	links := v["links"].([]any)
	known := links[0].(map[string]any)
	for _, key := range []string{"to", "distance_m", "azimuth_deg", "elevation_deg", "path", "clearance_f1",
		"clearance_at_m", "terms", "loss_db",
		"rx_dbm", "sensitivity_dbm", "margin_db", "verdict", "reasons", "directions", "pessimistic"} {
		if _, ok := known[key]; !ok {
			t.Errorf("link has no key %q", key)
		}
	}
	if v["schema"] != 1.0 || v["reached"] != 1.0 || v["of"] != 3.0 {
		t.Errorf("schema %v, reached %v, of %v", v["schema"], v["reached"], v["of"])
	}
}

func TestUnknownLinkHasNoNumbersItCannotHave(t *testing.T) {
	links := siteObject(t, report.SiteOptions{Profiles: true})["links"].([]any)
	l := links[len(links)-1].(map[string]any)
	if l["verdict"] != "unknown" {
		t.Fatalf("last link is %v", l["verdict"])
	}
	for _, key := range []string{"loss_db", "margin_db", "rx_dbm", "path", "clearance_f1", "terms", "directions",
		"elevation_deg"} {
		if v, ok := l[key]; ok {
			t.Errorf("%s is %v", key, v)
		}
	}
	profile := l["profile"].([]any)
	lastPoint := profile[len(profile)-1].(map[string]any)
	if _, ok := lastPoint["ground_m"]; ok || lastPoint["flag"] != "outside the terrain" {
		t.Errorf("last point %v", lastPoint)
	}
}

func TestProfileAddsUp(t *testing.T) {
	links := siteObject(t, report.SiteOptions{Profiles: true})["links"].([]any)
	for i, p := range links[0].(map[string]any)["profile"].([]any) {
		v := p.(map[string]any)
		num := func(key string) float64 { return v[key].(float64) }
		if off := num("line_of_sight_m") - num("bulge_m") - num("ground_m") - num("clearance_m"); off > 0.003 ||
			off < -0.003 {
			t.Errorf("point %d: line of sight less bulge less ground is %g m off the clearance", i, off)
		}
	}
}

func TestTextFitsAPhoneHeldSideways(t *testing.T) {
	var buf bytes.Buffer
	if err := report.SiteText(&buf, site(t),
		report.SiteOptions{Date: november, Warnings: []string{strings.Repeat("a long warning ", 20)}}); err != nil {
		t.Fatal(err)
	}
	text := buf.String()
	for _, line := range strings.Split(text, "\n") {
		if n := utf8.RuneCountInString(line); n > 76 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
	verdict, table := strings.Index(text, "REACHES"), strings.Index(text, "neighbour ")
	why, cautions := strings.Index(text, "\nWhy\n"), strings.Index(text, "\nCautions\n")
	if !(verdict >= 0 && verdict < table && table < why && why < cautions) {
		t.Errorf("order: verdict at %d, table %d, why %d, cautions %d", verdict, table, why, cautions)
	}
	for _, want := range []string{"1 of 1 required", "outside the terrain", "unknown", "Power lines", "check locally"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if strings.Contains(strings.ToLower(text), "compliant") {
		t.Error("the text promises what it cannot")
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, os.ErrInvalid }

func TestWritersReportAFullDisk(t *testing.T) {
	s := site(t)
	sheet, err := report.NewAirtimeSheet(linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}, linkbudget.Packet{PayloadB: 20,
		PreambleSymbols: 8}, lora.FamilySX126x, 6)
	if err != nil {
		t.Fatal(err)
	}
	for name, err := range map[string]error{
		"site text": report.SiteText(fullDisk{}, s, report.SiteOptions{}), "site json": report.SiteJSON(fullDisk{}, s,
			report.SiteOptions{}),
		"airtime text": report.AirtimeText(fullDisk{}, sheet), "airtime json": report.AirtimeJSON(fullDisk{}, sheet),
	} {
		if err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func ExampleAirtimeText() {
	sheet, err := report.NewAirtimeSheet(linkbudget.Modem{SF: 7, BWHz: 125e3, CR: 1},
		linkbudget.Packet{PayloadB: 10, PreambleSymbols: 8}, lora.FamilySX126x, 6)
	if err != nil {
		fmt.Println(err)
		return
	}
	var text strings.Builder
	if err := report.AirtimeText(&text, sheet); err != nil {
		fmt.Println(err)
		return
	}
	first, _, _ := strings.Cut(text.String(), "\n")
	fmt.Println(first)
	// Output: 41.216 ms on air: 10 bytes, SF7, 125 kHz, 4/5
}
