package power

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func props(t testing.TB, text string) Getter {
	t.Helper()
	var m map[string]json.RawMessage
	if err := json.Unmarshal([]byte(text), &m); err != nil {
		t.Fatal(err)
	}
	return FromMap(m)
}

func TestSettingsRead(t *testing.T) {
	s, stated, err := Settings(props(t, `{
		"panel_w": 3, "panel_tilt_deg": 55, "panel_azimuth_deg": 170, "panel_vmp_v": 5.5, "panel_soiling_percent": 10, "panel_years": 10,
		"panel2_w": 2, "charger": "tracking", "charger_percent": 80, "charger_max_a": 1,
		"cell_wh": 11.1, "cells": 2, "cell_age_percent": 90, "cell_leak_percent": 0,
		"load_packets_per_hour": 30, "load_relayed_per_hour": 60, "load_airtime_ms": 400, "load_host_ma": 4, "load_rx_percent": 50,
		"box_height_m": 0.2, "box_width_m": 0.15, "box_depth_m": 0.1, "box_colour": "black", "box_shade": "roof", "box_vent_cm2": 10,
		"fan_m3h": 9.6, "fan_w": 0.25, "fan_panel_w": 1}`), SettingDefaults{LatDeg: 46})
	if err != nil {
		t.Fatal(err)
	}
	if stated != (Stated{true, true, true, true, true}) || s.Validate() != nil {
		t.Fatalf("%+v, %v", stated, s.Validate())
	}
	near(t, "ageing", s.Panels[0].Derates.Ageing, 0.9, 1e-12)
	near(t, "soiling", s.Panels[0].Derates.Soiling, 0.9, 1e-12)
	near(t, "second panel faces south", s.Panels[1].AzimuthDeg, 180, 0)
	near(t, "second panel's tilt", s.Panels[1].TiltDeg, 60, 0)
	near(t, "capacity", s.Bank.CapacityAh, 3, 1e-12)
	near(t, "tx share", s.Load.Duty.TxShare, 0.01, 1e-12) // 90 x 0.4 s of 3600
	near(t, "rx share", s.Load.Duty.RxShare, 0.5, 1e-12)
	near(t, "vents", s.Box.VentM2, 0.001, 1e-12)
	near(t, "vents' height", s.Box.VentRiseM, 0.16, 1e-12)
	near(t, "absorptance", s.Box.Absorptance, 0.95, 0)
	if s.Charger != (Charger{Tracking, 0.8, 1}) || s.Box.Shade != ShadeRoof || s.Fan.PanelW != 1 {
		t.Errorf("%+v %+v %+v", s.Charger, s.Box, s.Fan)
	}
}

func TestSettingsDefaults(t *testing.T) {
	s, stated, err := Settings(props(t, `{"panel_w": 3, "cell_mah": 3000, "load_ma": 25}`), SettingDefaults{LatDeg: -30})
	if err != nil || !stated.Enough() || stated.Box || stated.Fan || !stated.Load {
		t.Fatalf("%+v, %v", stated, err)
	}
	want := System{
		Panels: []Panel{NewPanel(3, Plane{60, 0})},
		Bank:   Bank{Cells: 1, CapacityAh: 3, AgeFactor: 0.8, WindowFactor: 1, SelfDischargePerMonth: 0.03},
		Load:   Load{MeasuredA: 0.025},
	}
	for _, f := range []*float64{&s.Panels[0].Derates.Soiling, &s.Panels[0].Derates.Nameplate,
		&s.Panels[0].Derates.Wiring, &s.Panels[0].Derates.LowLight} {
		*f = float64(int(*f*1e6+0.5)) / 1e6 // percent and back
	}
	if d := cmp.Diff(want, s); d != "" {
		t.Error(d)
	}
	_, stated, err = Settings(props(t, `{"name": "x", "panel_w": null}`), SettingDefaults{})
	if err != nil || stated != (Stated{}) {
		t.Errorf("nothing stated: %+v, %v", stated, err)
	}
}

func TestSettingsFaultsAllAtOnce(t *testing.T) {
	_, _, err := Settings(props(t, `{
		"panel_w": "3", "panel_tilt_deg": 95, "panel2_tilt_deg": 10, "panel4_w": 1,
		"charger": "mppt", "charger_percent": 90, "cell_mah": -5, "cell_wh": 1, "cells": 1.5,
		"load_packets_per_hour": 90000, "load_airtime_ms": 1000,
		"box_colour": 7, "box_width_m": 0.1, "fan_w": 0.3}`), SettingDefaults{})
	if err == nil {
		t.Fatal("accepted")
	}
	for _, want := range []string{
		`panel_w: found "3", allowed a number 0.01 to 500 W`,
		`panel_tilt_deg: found 95, allowed 0 to 90 deg`,
		`panel2_w: missing`, `panel4_w: found without panel3_w`,
		`charger: found "mppt", allowed "linear", "tracking"`, `charger_percent: found with a linear charger`,
		`cell_mah: found -5, allowed 10 to 1000000 mAh`, `cell_wh: found beside cell_mah`,
		`cells: found 1.5, allowed a whole number 1 to 100`, `load_packets_per_hour: 90000 and 0 relayed`,
		`box_colour: found 7, allowed "white"`, `box_height_m: missing`, `box_depth_m: missing`, `fan_m3h: missing`,
	} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("no %q in:\n%v", want, err)
		}
	}
	var one *SettingError
	if !errors.As(err, &one) || one.Key == "" {
		t.Errorf("no SettingError in %v", err)
	}
}

func TestSettingsHalfAGroup(t *testing.T) {
	for text, want := range map[string]string{
		`{"cells": 2}`:                   "cell_mah: missing",
		`{"cell_v": 3.7}`:                "cell_mah: missing",
		`{"fan_m3h": 5, "fan_w": 0.2}`:   "found without a box",
		`{"cell_wh": 4000, "cell_v": 1}`: "allowed 0.01 to 1000 Ah",
		`{"panel2_w": 4}`:                "panel2_w: found without panel_w",
		`{"panel_w": 1e999}`:             "panel_w: found 1e999",
		`{"box_shade": "` + "é" + `"}`:   `found "é"`,
		`{"panel_w": [1,2]}`:             "found [1,2]",
		`{"cell_chemistry": "lead"}`:     `allowed "nmc", "lfp"`,
		`{"load_ma": -1}`:                "allowed 0 to 10000 mA",
		`{"box_electronics_max_c": "` + strings.Repeat("9", 500) + `"}`: "…",
	} {
		if _, _, err := Settings(props(t, text), SettingDefaults{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.60s: want %q, got %v", text, want, err)
		}
	}
}

// Whatever a stranger's properties hold: an error, or a system that survives.
func FuzzSettings(f *testing.F) {
	f.Add(`{"panel_w":3,"cell_mah":3000}`)
	f.Add(`{"panel_w":3,"cell_wh":0.03,"cell_v":100,"load_ma":0,"box_height_m":0.01,"box_width_m":3,"box_depth_m":3,"fan_w":1,"fan_m3h":9}`)
	f.Fuzz(func(t *testing.T, text string) {
		var m map[string]json.RawMessage
		if json.Unmarshal([]byte(text), &m) != nil {
			return
		}
		s, stated, err := Settings(FromMap(m), SettingDefaults{LatDeg: 40, AirtimeS: 0.3})
		if err != nil || !stated.Enough() {
			return
		}
		if _, err := Survey(s, flat(31, 3, 10)); err != nil {
			t.Errorf("read without a fault, but %v", err)
		}
	})
}
