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
		if err != nil {
			t.Fatalf("%s: %v", c.key, err)
		}
		var want []string
		if c.meant != "" {
			want = []string{`plan.geojson: feature 0 ("Old Mill"): key "` + c.key + `" is kept but not used; did you mean "` + c.meant + `"?`}
		}
		if d := cmp.Diff(want, p.Warnings); d != "" {
			t.Errorf("%.40s: %s", c.key, d)
		}
	}
}

// The coordinate system RFC 7946 prescribes, in the form older writers add.
func TestUsualCRSIsNoSlip(t *testing.T) {
	p, err := Read("", []byte(`{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:OGC:1.3:CRS84"}},"features":[`+point("Gate", "")+`]}`))
	if err != nil || len(p.Warnings) > 0 {
		t.Errorf("%v, %v", p, err)
	}
}

func TestWarnings(t *testing.T) {
	p, err := Read("plan.geojson", []byte(`{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"EPSG:25832"}},"features":[`+
		pointAt(`[8,47]`)+","+
		feature(`{"name":"Gate","heigth_m":4,"sf":9}`, `{"type":"Point","coordinates":[8,48]}`)+","+
		feature(`{"name":"Barn","heigth_m":5,"sf":null}`, `{"type":"Point","coordinates":[8.0,47.0]}`)+","+
		line(`{"from":"Gate","to":"Barn","freq":868,"height_m":3,"name":"up"}`)+`]}`))
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		`plan.geojson: feature 1 ("Gate"): key "heigth_m" is kept but not used; did you mean "height_m"? (so in 2 features)`,
		`plan.geojson: feature 1 ("Gate"): key "sf" is kept but not used on a Point`,
		`plan.geojson: feature 3 ("up"): key "freq" is kept but not used; did you mean "freq_mhz"?`,
		`plan.geojson: feature 3 ("up"): key "height_m" is kept but not used on a LineString`,
		`plan.geojson: member "crs" is kept but not used: coordinates are taken as WGS 84 longitude and latitude (RFC 7946 section 4)`,
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
