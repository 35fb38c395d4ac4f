package power

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/terrain/fault"
)

// FuzzSurvey: whatever properties and days a survey is made of, it is refused or finite, the cell
// holds what it can, and the energy of every run balances.
func FuzzSurvey(f *testing.F) {
	f.Add(`{"panel_w":3,"cell_mah":3000}`, []byte("\x80\x40\x20\x10\xff\x00"))
	f.Add(`{"panel_w":6,"panel2_w":2,"charger":"tracking","cell_wh":11.1,"cells":2,"load_ma":25,"box_height_m":0.2,
		"box_width_m":0.15,"box_depth_m":0.1,"box_colour":"black","fan_m3h":9.6,"fan_w":0.25,"fan_panel_w":1}`,
		[]byte("\x00\x00\x00\x10\x20\x30\xf0\x80\x01"))
	f.Add(`{"panel_w":0.01,"cell_wh":1e3,"load_ma":1e-3,"cell_leak_percent":0}`, []byte("\xfb\x10\x10"))
	f.Fuzz(func(t *testing.T, text string, days []byte) {
		var m map[string]json.RawMessage
		if json.Unmarshal([]byte(text), &m) != nil {
			return
		}
		s, stated, err := Settings(FromMap(m), SettingDefaults{LatDeg: 40, AirtimeS: 0.3})
		if err != nil || !stated.Enough() {
			return
		}
		r, err := Survey(s, fuzzedExposure(days))
		if err != nil {
			return
		}
		if bad := check.NotFinite(reflect.ValueOf(&r), "result", nil); bad != "" {
			t.Fatal(bad)
		}
		for name, run := range map[string]Run{"low": r.Low, "mid": r.Mid, "high": r.High, "cold": r.Cold} {
			in, out := run.StartWh+run.InWh, run.EndWh+run.UsedWh+run.SpilledWh+run.LeakedWh
			if !(math.Abs(in-out) <= 1e-9*(1+in)) {
				t.Fatalf("%s: %g in, %g out", name, in, out)
			}
			for i, wh := range run.StateWh {
				if !(wh >= 0 && wh <= r.CapacityWh*(1+1e-9)+1e-9) {
					t.Fatalf("%s: hour %d holds %g of %g Wh", name, i, wh, r.CapacityWh)
				}
			}
		}
	})
}

// fuzzedExposure has up to 40 days, of three bytes each, up to the edges of what may be.
func fuzzedExposure(data []byte) Exposure {
	var e Exposure
	var sun []DaySun
	n := max(1, min(len(data)/3, 40))
	b := check.Bytes(data)
	for i := range n {
		mean, half := b.Number(fault.Limits{Min: -60, Max: 50}), float64(b.Next())/20
		e.Air = append(e.Air, airOf(i*12/n+1, mean, half, 900))
		var day DaySun
		kwhM2 := b.Number(fault.Limits{Max: 12})
		for h := 8; h < 18; h++ {
			day[h] = kwhM2 / 10
		}
		sun = append(sun, day)
	}
	e.Sun = func(Plane) ([]DaySun, error) { return sun, nil }
	return e
}
