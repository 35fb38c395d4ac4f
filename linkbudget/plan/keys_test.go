package plan

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
)

// The file and the budget must allow the same: a plan that reads may not be
// refused later, nor a value of the settings be allowed that the file refuses.
func TestRangesAgreeWithTheBudget(t *testing.T) {
	tried := 0
	for _, k := range Keys() {
		if k.Model == nil || k.Feature != "Point" || k.Name == "coax_m" { // needs its cable: TestKeysThatNeedEachOther
			continue
		}
		tried++
		for _, v := range []float64{k.Limits.Min, k.Limits.Max, math.Nextafter(k.Limits.Min, math.Inf(-1)),
			math.Nextafter(k.Limits.Min, math.Inf(1)), math.Nextafter(k.Limits.Max, math.Inf(1))} {
			st := linkbudget.Station{Name: "Gate", HeightM: 6, TxDBm: 14}
			*k.Model(&st) = v
			budget := st.Validate()
			if k.Name == "noise_figure_db" && v == 0 {
				budget = errors.New("0 is the budget's word for not given; a file that says 0 means it")
			}
			p, file := Read("", []byte(collection(point("Gate", fmt.Sprintf(`%q:%v`, k.Name, v)))))
			if (budget == nil) != (file == nil) {
				t.Errorf("%s %v: the budget says %v, the file %v", k.Name, v, budget, file)
			}
			if file != nil {
				continue
			}
			if filled := (Settings{}).Fill(&p.Stations[0]); *k.Model(&filled) != v {
				t.Errorf("%s %v: came to the budget as %v", k.Name, v, *k.Model(&filled))
			}
		}
	}
	if tried < 12 {
		t.Errorf("%d keys tried", tried)
	}
	for _, label := range bandwidthsKHz {
		if _, err := lora.ParseBandwidthKHz(label); err != nil {
			t.Error(err)
		}
	}
}

// Every key has a field of its own that holds what was read and is written back, a
// meaning, and what it allows; an unknown one has none.
func TestKeysHaveFields(t *testing.T) {
	for _, it := range []item{&Station{}, &Link{}, &Area{}} {
		fields := map[any]string{}
		for i, k := range it.keys().list {
			if k.Doc == "" || k.Feature != it.shape().GeoJSONType() {
				t.Errorf("%T: %+v", it, k)
			}
			field := it.bind(i)
			if other, taken := fields[field]; field != nil && taken {
				t.Errorf("%T: %s has the field of %s", it, k.Name, other)
			}
			fields[field] = k.Name
			if field != nil && k.Allowed() == "" {
				t.Errorf("%T: %s allows nothing", it, k.Name)
			}
		}
		for _, name := range []string{"Name", ""} {
			if k, _ := known(it, name); k != nil {
				t.Errorf("%T: knows %q", it, name)
			}
		}
	}
}

// Every word comes to the budget as what it says, whatever the settings say.
func TestWordsReachTheBudget(t *testing.T) {
	said := map[string]func(s linkbudget.Station) string{
		"beam":         func(s linkbudget.Station) string { return s.Antenna.Beam.String() },
		"polarisation": func(s linkbudget.Station) string { return s.Polarisation.String() },
		"inside":       func(s linkbudget.Station) string { return s.Surroundings.Inside.String() },
		"coax":         func(s linkbudget.Station) string { return s.Feeder.Coax.Name },
		"mount": func(s linkbudget.Station) string {
			return map[bool]string{false: "top",
				true: "side"}[s.SideMounted]
		}, "noise": func(s linkbudget.Station) string {
			return map[linkbudget.DB]string{0: "rural", 4: "suburb", 8: "city"}[s.ExternalNoiseDB]
		},
	}
	north := 0.0
	other := linkbudget.Station{SideMounted: true, Polarisation: radio.Horizontal, ExternalNoiseDB: 20,
		Antenna: linkbudget.Antenna{Beam: antenna.BeamSector, AzimuthDeg: &north}}
	for i, k := range stationKeys.list {
		if k.Words == nil || k.Name == "status" {
			continue
		}
		for _, w := range k.Words {
			s := Station{Name: "Gate"}
			*stationKeys.bind(i, &s).(**string) = &w
			for _, settings := range []Settings{{}, {Station: other}} {
				if got := said[k.Name](settings.Fill(&s)); got != w {
					t.Errorf("%s %q came to the budget as %q", k.Name, w, got)
				}
			}
		}
	}
}

func TestKeysThatNeedEachOther(t *testing.T) {
	for text, want := range map[string]string{
		`"coax":"RG-58"`:              "coax_m: missing, needed with coax: 0 to 200 m",
		`"coax_m":3`:                  "coax: missing, needed with coax_m: one of RG-316",
		`"coax":"RG-58","coax_m":201`: "coax_m: found 201, allowed 0 to 200 m",
		`"coax":"RG-59","coax_m":2`:   "coax: found",
		`"nearby_tx_dbm":20`:          "nearby_isolation_db: missing",
		`"nearby_tx_dbm":20,"nearby_isolation_db":40`: "nearby_offset_mhz: missing, needed with the other nearby keys: 1 " +
			"to 100 MHz",
		`"inside":"wood","wood_m":40`: "wood_m: found beside inside \"wood\"",
		`"beam":"sector"`:             "azimuth_deg: missing",
		`"mount":"left"`:              `mount: found text "left", allowed "top", "side"`,
		`"noise":"loud"`:              `noise: found text "loud", allowed "rural"`,
	} {
		_, err := Read("p.geojson", []byte(collection(point("Gate", text))))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
	for _, text := range []string{`"coax":"RG-58","coax_m":0`, `"coax":"400 class","coax_m":200`,
		`"inside":"open","wood_m":40`, `"inside":"free","wood_m":40`,
		`"nearby_tx_dbm":20,"nearby_isolation_db":40,"nearby_offset_mhz":1`} {
		if _, err := Read("p.geojson", []byte(collection(point("Gate", text)))); err != nil {
			t.Errorf("%s: %v", text, err)
		}
	}
}
