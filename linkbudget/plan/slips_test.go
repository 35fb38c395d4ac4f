package plan

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestKeySlips(t *testing.T) {
	for _, c := range []struct{ key, meant string }{
		{"heigth_m", "height_m"}, {"height", "height_m"}, {"Height_M", "height_m"}, {"height_ft", "height_m"}, {"heightm", "height_m"}, {"height-m", "height_m"},
		{"txdbm", "tx_dbm"}, {"TX_dBm", "tx_dbm"}, {"tx_w", "tx_dbm"}, {"gain", "gain_dbi"}, {"gain_dbd", "gain_dbi"}, {"feedloss_db", "feed_loss_db"},
		{"noise_figur_db", "noise_figure_db"}, {"azimuth", "azimuth_deg"}, {"azimut_deg", "azimuth_deg"}, {"polarization", "polarisation"},
		{"Status", "status"}, {"statuss", "status"}, {"Name", "name"}, {"baem", "beam"}, {"Inside", "inside"}, {"tilt", "tilt_deg"},
		{"fid", ""}, {"id", ""}, {"description", ""}, {"marker-color", ""}, {"stroke", ""}, {"title", ""}, {"owner", ""}, {"photo", ""}, {"ele", ""},
		{"panel_w", ""}, {"panel_tilt_deg", ""}, {"cell_ah", ""}, {"cell_heigth_m", ""}, {"note_height", ""}, {strings.Repeat("height_m", 1000), ""},
	} {
		p, err := Read("plan.geojson", []byte(collection(point("Old Mill", `"`+c.key+`":1`))))
		if c.meant == "" || c.meant == "name" { // the point has a name beside it
			var want []string
			if c.meant != "" {
				want = []string{`plan.geojson: feature 0 ("Old Mill"): key "` + c.key + `" is kept but not used beside "` +
					c.meant + `"`}
			}
			if err != nil || cmp.Diff(want, p.Warnings) != "" {
				t.Errorf("%.40s: %v, %v", c.key, err, p)
			}
			continue
		}
		want := `plan.geojson: feature 0 ("Old Mill"): ` + c.key + `: found a key that is not read, allowed "` + c.meant + `"`
		if err == nil || !strings.HasPrefix(err.Error(), want) || !strings.Contains(err.Error(), "rename it") {
			t.Errorf("%s: %v, want %s", c.key, err, want)
		}
	}
}

// Another unit is no other spelling: the way out says how to convert.
func TestKeysInOtherUnits(t *testing.T) {
	for key, want := range map[string]string{
		"height_ft": "0.3048 times feet", "tx_w": "1 W is 30", "tx_mw": "100 mW are 20", "gain_dbd": "2.15 more than dBd",
		"tilt_rad": "57.2958",
	} {
		_, err := Read("plan.geojson", []byte(collection(point("Gate", `"`+key+`":1`))))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", key, err, want)
		}
	}
}

// The feature that lacks the known key is refused, be it null there; one that has both
// is told.
func TestSlipBesideTheKnownKey(t *testing.T) {
	p, err := Read("plan.geojson", []byte(collection(point("Gate", `"Height":5,"height_m":4`))))
	if err != nil || len(p.Warnings) != 1 || !strings.Contains(p.Warnings[0],
		`"Height" is kept but not used beside "height_m"`) {
		t.Errorf("%v, %v", p, err)
	}
	_, err = Read("plan.geojson", []byte(collection(point("Gate", `"Height":5,"height_m":4`),
		point("Barn", `"Height":5,"height_m":null`), point("Mill", `"Height":3`))))
	if err == nil || !strings.Contains(err.Error(), `feature 1 ("Barn"): Height:`) || !strings.Contains(err.Error(),
		"so in 2 features") {
		t.Error(err)
	}
}

func TestWarnings(t *testing.T) {
	p, err := Read("plan.geojson", []byte(`{"type":"FeatureCollection","features":[`+
		pointAt(`[8,47]`)+","+
		feature(`{"name":"Gate","heigth_m":4,"height_m":4,"sf":9}`, `{"type":"Point","coordinates":[8,48]}`)+","+
		feature(`{"name":"Barn","heigth_m":5,"height_m":5,"sf":null}`, `{"type":"Point","coordinates":[8.0,47.0]}`)+","+
		line(`{"from":"Gate","to":"Barn","freq":868,"freq_mhz":868,"height_m":3,"name":"up"}`)+`]}`))
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		`plan.geojson: feature 1 ("Gate"): key "heigth_m" is kept but not used beside "height_m" (so in 2 features)`,
		`plan.geojson: feature 1 ("Gate"): key "sf" is kept but not used on a Point`,
		`plan.geojson: feature 3 ("up"): key "freq" is kept but not used beside "freq_mhz"`,
		`plan.geojson: feature 3 ("up"): key "height_m" is kept but not used on a LineString`,
		`plan.geojson: feature 2 ("Barn"): at the same coordinates as feature 0 ("Old Mill")`,
	}
	if d := cmp.Diff(want, p.Warnings); d != "" {
		t.Error(d)
	}
}

// Half of a setting is told: the other half may have been forgotten.
func TestKeysWithoutEffect(t *testing.T) {
	for properties, want := range map[string]string{
		`"clutter_top_m":12`:                                    `key "clutter_top_m" counts for open country without inside`,
		`"clutter_top_m":12,"inside":"free"`:                    `key "clutter_top_m" has no effect beside inside "free"`,
		`"clutter_top_m":12,"inside":"open"`:                    "",
		`"azimuth_deg":40`:                                      `key "azimuth_deg" has no effect without beam "sector"`,
		`"beamwidth_deg":40,"beam":"omni"`:                      `key "beamwidth_deg" has no effect without beam "sector"`,
		`"clutter_top_m":0`:                                     "",
		`"clutter_top_m":12,"inside":"wood"`:                    "",
		`"azimuth_deg":40,"beamwidth_deg":40,"beam":"sector"`:   "",
		`"azimuth_deg":null,"beamwidth_deg":null,"beam":"omni"`: "",
	} {
		p, err := Read("plan.geojson", []byte(collection(point("Gate", properties), point("Barn", properties))))
		if err != nil {
			t.Fatal(err)
		}
		var found []string
		for _, w := range p.Warnings {
			if strings.Contains(w, "effect") || strings.Contains(w, "counts for") {
				found = append(found, w)
			}
		}
		var wanted []string
		if want != "" {
			wanted = []string{`plan.geojson: feature 0 ("Gate"): ` + want + " (so in 2 features)"}
		}
		if d := cmp.Diff(wanted, found); d != "" {
			t.Errorf("%s: %s", properties, d)
		}
	}
}
