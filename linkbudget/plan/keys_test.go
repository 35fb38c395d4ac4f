package plan

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/lora"
)

// The file and the budget must allow the same: a plan that reads may not be
// refused later, nor a value of the settings be allowed that the file refuses.
func TestRangesAgreeWithTheBudget(t *testing.T) {
	spans := map[string]span{"height_m": heightM, "tx_dbm": txDBm, "gain_dbi": gainDBi, "feed_loss_db": feedLossDB, "hardware_db": hardwareDB, "noise_figure_db": noiseFigureDB,
		"noise_rise_db": noiseRiseDB, "tilt_deg": tiltDeg, "azimuth_deg": azimuthDeg, "clutter_top_m": clutterTopM, "wood_m": woodM,
		"beamwidth_deg": beamwidthDeg, "coax_m": coaxM, "vswr": vswr}
	for key, s := range spans {
		for _, v := range []float64{s.lo, s.hi, math.Nextafter(s.lo, math.Inf(-1)), math.Nextafter(s.lo, math.Inf(1)), math.Nextafter(s.hi, math.Inf(1))} {
			st := linkbudget.Station{Name: "Gate", HeightM: 6, TxDBm: 14}
			field := map[string]*float64{"height_m": &st.HeightM, "tx_dbm": (*float64)(&st.TxDBm), "gain_dbi": (*float64)(&st.Antenna.PeakDBi),
				"feed_loss_db": (*float64)(&st.FeedLossDB), "hardware_db": (*float64)(&st.HardwareDB), "noise_figure_db": (*float64)(&st.NoiseFigureDB), "noise_rise_db": (*float64)(&st.NoiseRiseDB),
				"tilt_deg": &st.Antenna.TiltDeg, "clutter_top_m": &st.Surroundings.TopM, "wood_m": &st.Surroundings.WoodM,
				"beamwidth_deg": &st.Antenna.BeamwidthDeg, "coax_m": &st.Feeder.LengthM, "vswr": &st.VSWR}[key]
			if key == "azimuth_deg" {
				field = new(float64)
				st.Antenna.AzimuthDeg = field
			}
			*field = v
			budget := st.Validate()
			if key == "noise_figure_db" && v == 0 {
				budget = errors.New("0 is the budget's word for not given; a file that says 0 means it")
			}
			if key == "coax_m" {
				continue // needs its cable: TestKeysThatNeedEachOther
			}
			_, file := Read("", []byte(collection(point("Gate", fmt.Sprintf(`%q:%v`, key, v)))))
			if (budget == nil) != (file == nil) {
				t.Errorf("%s %v: the budget says %v, the file %v", key, v, budget, file)
			}
		}
	}
	for _, label := range bandwidthsKHz {
		if _, err := lora.ParseBandwidthKHz(label); err != nil {
			t.Error(err)
		}
	}
}

// Every known key is bound to a field, and no other is.
func TestKeysAreBound(t *testing.T) {
	for _, it := range []item{&Station{}, &Link{}, &Area{}} {
		for _, key := range it.keys() {
			if it.bind(key) == nil {
				t.Errorf("%T: %s is not bound", it, key)
			}
		}
		if it.bind("Name") != nil || it.bind("") != nil {
			t.Errorf("%T: binds an unknown key", it)
		}
	}
}

func TestKeysThatNeedEachOther(t *testing.T) {
	for text, want := range map[string]string{
		`"coax":"RG-58"`:                              "coax_m: missing, needed with coax: 0 to 200 m",
		`"coax_m":3`:                                  "coax: missing, needed with coax_m: one of RG-316",
		`"coax":"RG-58","coax_m":201`:                 "coax_m: found 201, allowed 0 to 200 m",
		`"coax":"RG-59","coax_m":2`:                   "coax: found",
		`"nearby_tx_dbm":20`:                          "nearby_isolation_db: missing",
		`"nearby_tx_dbm":20,"nearby_isolation_db":40`: "nearby_offset_mhz: missing, needed with the other nearby keys: 1 to 100 MHz",
		`"inside":"wood","wood_m":40`:                 "wood_m: found beside inside \"wood\"",
		`"beam":"sector"`:                             "azimuth_deg: missing",
		`"mount":"left"`:                              `mount: found text "left", allowed "top", "side"`,
		`"noise":"loud"`:                              `noise: found text "loud", allowed "rural"`,
	} {
		_, err := Read("p.geojson", []byte(collection(point("Gate", text))))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
	for _, text := range []string{`"coax":"RG-58","coax_m":0`, `"coax":"400 class","coax_m":200`, `"inside":"open","wood_m":40`, `"inside":"free","wood_m":40`,
		`"nearby_tx_dbm":20,"nearby_isolation_db":40,"nearby_offset_mhz":1`} {
		if _, err := Read("p.geojson", []byte(collection(point("Gate", text)))); err != nil {
			t.Errorf("%s: %v", text, err)
		}
	}
}
