package band

import "testing"

// Rows typed from reference notes on LoRa, section 5.2.

func TestUS915Rows(t *testing.T) {
	compareRows(t, US915, []wantRow{
		{key: "us-902-dts", fromMHz: 902, toMHz: 928, limitDBm: 30, ref: Conducted, // 1 W
			more:   Rule{GainThresholdDBi: 6, GainSlope: 1, Min6dBBWHz: 500e3, DensityDBm: 8, DensityPerHz: 3e3},
			source: "47 CFR Part 15", clause: "15.247(a)(2), (b)(3), (b)(4), (e)", year: 2026, confidence: "A"},
		{key: "us-902-fhss50", fromMHz: 902, toMHz: 928, limitDBm: 30, ref: Conducted, // 1 W
			more:   Rule{GainThresholdDBi: 6, GainSlope: 1, MinHops: 50, DwellS: 0.4, DwellWindowS: 20, Max20dBBWHz: 250e3},
			source: "47 CFR Part 15", clause: "15.247(a)(1)(i), (b)(2)", year: 2026, confidence: "A"},
		{key: "us-902-fhss25", fromMHz: 902, toMHz: 928, limitDBm: 24, tolDBm: 0.05, ref: Conducted, // "0.25 W cond (24 dBm)"
			more: Rule{GainThresholdDBi: 6, GainSlope: 1, MinHops: 25, MaxHops: 49, DwellS: 0.4, DwellWindowS: 10,
				Min20dBBWHz: 250e3, Max20dBBWHz: 500e3},
			source: "47 CFR Part 15", clause: "15.247(a)(1)(i), (b)(2)", year: 2026, confidence: "A"},
		{key: "us-902-hybrid", fromMHz: 902, toMHz: 928, limitDBm: 30, ref: Conducted,
			more: Rule{GainThresholdDBi: 6, GainSlope: 1, MinHops: 2, DwellS: 0.4, DwellWindowPerHopS: 0.4,
				DensityDBm: 8, DensityPerHz: 3e3},
			source: "47 CFR Part 15", clause: "15.247(f), FCC KDB 558074 v05r02", year: 2026, confidence: "B"}, // "A/B"
		{key: "us-902-249", fromMHz: 902, toMHz: 928, limitDBm: -1.25, tolDBm: 0.005, ref: FieldStrength,
			more:   Rule{FieldVPerM: 50e-3, FieldAtM: 3},
			source: "47 CFR Part 15", clause: "15.249(a)", year: 2026, confidence: "A"},
	})
}

// TestCA915Rows: "as us rows: 1 W cond and 4 W EIRP (>= 50 hops, or DTS);
// 0.25 W cond / 1 W EIRP (25-49 hops)"; "dates A, values C". 4 W is 36.02 dBm.
func TestCA915Rows(t *testing.T) {
	const cap4W = 36.0206 // 10 log 4000, by hand
	want := []wantRow{
		{key: "ca-902-dts", limitMW: 1000, clause: "renumbered",
			more: Rule{EIRPCap: cap4W, Min6dBBWHz: 500e3, DensityDBm: 8, DensityPerHz: 3e3}},
		{key: "ca-902-fhss50", limitMW: 1000, clause: "renumbered",
			more: Rule{EIRPCap: cap4W, MinHops: 50, DwellS: 0.4, DwellWindowS: 20, Max20dBBWHz: 250e3}},
		{key: "ca-902-fhss25", limitMW: 250, clause: "renumbered",
			more: Rule{EIRPCap: 30, MinHops: 25, MaxHops: 49, DwellS: 0.4, DwellWindowS: 10, Min20dBBWHz: 250e3,
				Max20dBBWHz: 500e3}},
		{key: "ca-902-hybrid", limitMW: 1000, clause: "6.4",
			more: Rule{EIRPCap: cap4W, MinHops: 2, DwellS: 0.4, DwellWindowPerHopS: 0.4, DensityDBm: 8, DensityPerHz: 3e3}},
	}
	for i := range want {
		want[i].fromMHz, want[i].toMHz, want[i].ref = 902, 928, Conducted
		want[i].source, want[i].year, want[i].confidence = "RSS-247 Issue 4", 2025, "C"
	}
	compareRows(t, CA915, want)
}

// TestBR915Rows: 902-907.5 and 915-928 MHz; item 10.5 for the antenna. Channels and
// power: item 10.2.5.1 of Anatel's consultation text ("1 Watt ... no minimo 35 canais",
// "0,25 Watt ... menos de 35"); 0.4 s in 14 s and, from 250 kHz, 17 channels and 7 s:
// two of three public sources.
func TestBR915Rows(t *testing.T) {
	hop := Rule{GainThresholdDBi: 6, GainSlope: 1, MinHops: 35, Max20dBBWHz: 250e3, DwellS: 0.4, DwellWindowS: 14}
	wide := Rule{GainThresholdDBi: 6, GainSlope: 1, MinHops: 35, Min20dBBWHz: 250e3, Max20dBBWHz: 500e3, DwellS: 0.4,
		DwellWindowS: 7}
	few := wide
	few.MinHops, few.MaxHops = 17, 34
	var want []wantRow
	for _, s := range []struct {
		name             string
		fromMHz, untoMHz float64
	}{{"br-902", 902, 907.5}, {"br-915", 915, 928}} {
		rows := []wantRow{
			{key: s.name + "-dts", limitMW: 1000, clause: "item 10.5", confidence: "B",
				more: Rule{GainThresholdDBi: 6, GainSlope: 1, Min6dBBWHz: 500e3, DensityDBm: 8, DensityPerHz: 3e3}},
			{key: s.name + "-fhss35", limitMW: 1000, clause: "10.2.5.1", confidence: "C", more: hop},
			{key: s.name + "-fhss35-wide", limitMW: 1000, clause: "10.2.5.1", confidence: "C", more: wide},
			{key: s.name + "-fhss17-wide", limitMW: 250, clause: "10.2.5.1", confidence: "C", more: few},
			{key: s.name + "-low", limitDBm: -1.249, tolDBm: 0.0005, ref: FieldStrength, clause: "table I", confidence: "B",
				more: Rule{FieldVPerM: 50e-3, FieldAtM: 3}},
		}
		for i := range rows {
			r := &rows[i]
			r.fromMHz, r.toMHz, r.source, r.year = s.fromMHz, s.untoMHz, "Ato 14448/2017", 2017
			if r.ref == 0 {
				r.ref = Conducted
			}
		}
		want = append(want, rows...)
	}
	compareRows(t, BR915, want)
}
