package band

import "testing"

// Rows typed from reference notes on LoRa, section 5.1. Duty cycles count over one hour there.

const net = "networked short-range devices" // only whether a class is set is compared

func TestEU868Rows(t *testing.T) {
	net500 := Rule{Duty: 0.025, DutyWindowS: 3600, MaxChannelHz: 200e3, Class: net}
	compareRows(t, EU868, []wantRow{
		{key: "eu-863-865", fromMHz: 863, toMHz: 865, limitMW: 25, ref: ERP,
			more:   Rule{Duty: 0.001, DutyWindowS: 3600, Polite: true},
			source: "EN 300 220-2 V3.2.1", clause: "band K", year: 2018, confidence: "B"},
		{key: "eu-865-868", fromMHz: 865, toMHz: 868, limitMW: 25, ref: ERP,
			more:   Rule{Duty: 0.01, DutyWindowS: 3600, Polite: true},
			source: "EN 300 220-2 V3.2.1", clause: "band L", year: 2018, confidence: "B"},
		{key: "eu-868.0-868.6", fromMHz: 868, toMHz: 868.6, limitMW: 25, ref: ERP,
			more:   Rule{Duty: 0.01, DutyWindowS: 3600, Polite: true},
			source: "2006/771/EC", clause: "band M", year: 2017, confidence: "B"},
		{key: "eu-868.7-869.2", fromMHz: 868.7, toMHz: 869.2, limitMW: 25, ref: ERP,
			more:   Rule{Duty: 0.001, DutyWindowS: 3600, Polite: true},
			source: "2006/771/EC", clause: "band N", year: 2017, confidence: "B"},
		{key: "eu-869.4-869.65", fromMHz: 869.4, toMHz: 869.65, limitMW: 500, ref: ERP,
			more:   Rule{Duty: 0.1, DutyWindowS: 3600, Polite: true},
			source: "2006/771/EC", clause: "band O or P", year: 2017, confidence: "B"},
		{key: "eu-869.7-870-lp", fromMHz: 869.7, toMHz: 870, limitMW: 5, ref: ERP,
			source: "EN 300 220-2", clause: "5 mW", year: 2018, confidence: "C"},
		{key: "eu-869.7-870", fromMHz: 869.7, toMHz: 870, limitMW: 25, ref: ERP,
			more:   Rule{Duty: 0.01, DutyWindowS: 3600, Polite: true},
			source: "EN 300 220-2", clause: "band Q", year: 2018, confidence: "B"},
		{key: "eu-865.6-865.8-net", fromMHz: 865.6, toMHz: 865.8, limitMW: 500, ref: ERP, more: net500,
			source: "2019/1345", clause: "networked", year: 2019, confidence: "C"},
		{key: "eu-866.2-866.4-net", fromMHz: 866.2, toMHz: 866.4, limitMW: 500, ref: ERP, more: net500,
			source: "2019/1345", clause: "networked", year: 2019, confidence: "C"},
		{key: "eu-866.8-867.0-net", fromMHz: 866.8, toMHz: 867.0, limitMW: 500, ref: ERP, more: net500,
			source: "2019/1345", clause: "networked", year: 2019, confidence: "C"},
		{key: "eu-867.4-867.6-net", fromMHz: 867.4, toMHz: 867.6, limitMW: 500, ref: ERP, more: net500,
			source: "2019/1345", clause: "networked", year: 2019, confidence: "C"},
		{key: "eu-874", fromMHz: 874, toMHz: 874.4, limitMW: 500, ref: ERP, more: net500,
			source: "2018/1538 as amended by 2022/172", clause: "874", year: 2022, confidence: "C"},
		{key: "eu-917", fromMHz: 917.4, toMHz: 919.4, limitMW: 25, ref: ERP,
			more:   Rule{Duty: 0.01, DutyWindowS: 3600, MaxChannelHz: 600e3, Class: net},
			source: "2018/1538 as amended by 2022/172", clause: "917", year: 2022, confidence: "C"},
	})
}

func TestEU433Rows(t *testing.T) {
	compareRows(t, EU433, []wantRow{
		{key: "eu-433", fromMHz: 433.05, toMHz: 434.79, limitMW: 10, ref: ERP,
			more:   Rule{Duty: 0.1, DutyWindowS: 3600},
			source: "EN 300 220-2", clause: "band H", year: 2018, confidence: "B"},
		{key: "eu-433-wide", fromMHz: 433.05, toMHz: 434.79, limitMW: 1, ref: ERP,
			more:   Rule{DensityDBm: -13, DensityPerHz: 10e3, DensityOverHz: 250e3},
			source: "EN 300 220-2", clause: "band I", year: 2018, confidence: "B"},
		{key: "eu-433-narrow", fromMHz: 434.04, toMHz: 434.79, limitMW: 10, ref: ERP,
			more:   Rule{MaxChannelHz: 25e3},
			source: "EN 300 220-2", clause: "band J", year: 2018, confidence: "B"},
	})
}

func TestEU169Rows(t *testing.T) {
	compareRows(t, EU169, []wantRow{
		{key: "eu-169-hp", fromMHz: 169.4, toMHz: 169.475, limitMW: 500, ref: ERP,
			more:   Rule{Duty: 0.01, DutyWindowS: 3600, MaxChannelHz: 50e3},
			source: "70-03", clause: "Annex 1", year: 2025, confidence: "C"},
		{key: "eu-169.4-lp", fromMHz: 169.4, toMHz: 169.4875, limitMW: 10, ref: ERP,
			more:   Rule{Duty: 0.001, DutyWindowS: 3600},
			source: "70-03", clause: "Annex 1", year: 2025, confidence: "C"},
		{key: "eu-169.6-lp", fromMHz: 169.5875, toMHz: 169.8125, limitMW: 10, ref: ERP,
			more:   Rule{Duty: 0.001, DutyWindowS: 3600},
			source: "70-03", clause: "Annex 1", year: 2025, confidence: "C"},
	})
}

// TestUK868Rows: "as the eu rows 863-870", which nobody read, and the
// stretch opened in 2021.
func TestUK868Rows(t *testing.T) {
	const source = "Exemption) Regulations 2021"
	polite := func(duty float64) Rule { return Rule{Duty: duty, DutyWindowS: 3600, Polite: true} }
	net500 := Rule{Duty: 0.025, DutyWindowS: 3600, MaxChannelHz: 200e3, Class: net}
	var want []wantRow
	for _, w := range []wantRow{
		{key: "uk-863-865", fromMHz: 863, toMHz: 865, limitMW: 25, more: polite(0.001), confidence: "C"},
		{key: "uk-865-868", fromMHz: 865, toMHz: 868, limitMW: 25, more: polite(0.01), confidence: "C"},
		{key: "uk-868.0-868.6", fromMHz: 868, toMHz: 868.6, limitMW: 25, more: polite(0.01), confidence: "C"},
		{key: "uk-868.7-869.2", fromMHz: 868.7, toMHz: 869.2, limitMW: 25, more: polite(0.001), confidence: "C"},
		{key: "uk-869.4-869.65", fromMHz: 869.4, toMHz: 869.65, limitMW: 500, more: polite(0.1), confidence: "C"},
		{key: "uk-869.7-870-lp", fromMHz: 869.7, toMHz: 870, limitMW: 5, confidence: "C"},
		{key: "uk-869.7-870", fromMHz: 869.7, toMHz: 870, limitMW: 25, more: polite(0.01), confidence: "C"},
		{key: "uk-865.6-865.8-net", fromMHz: 865.6, toMHz: 865.8, limitMW: 500, more: net500, confidence: "C"},
		{key: "uk-866.2-866.4-net", fromMHz: 866.2, toMHz: 866.4, limitMW: 500, more: net500, confidence: "C"},
		{key: "uk-866.8-867.0-net", fromMHz: 866.8, toMHz: 867.0, limitMW: 500, more: net500, confidence: "C"},
		{key: "uk-867.4-867.6-net", fromMHz: 867.4, toMHz: 867.6, limitMW: 500, more: net500, confidence: "C"},
	} {
		w.clause = "retained EU band"
		want = append(want, w)
	}
	want = append(want,
		wantRow{key: "uk-870-874.4", fromMHz: 870, toMHz: 874.4, limitMW: 25, clause: "IR 2030",
			more: Rule{Duty: 0.01, DutyWindowS: 3600}, confidence: "C"},
		wantRow{key: "uk-870-874.4-net", fromMHz: 870, toMHz: 874.4, limitMW: 500, clause: "IR 2030",
			more: Rule{Class: net}, confidence: "C"})
	for i := range want {
		want[i].ref, want[i].source, want[i].year = ERP, source, 2021
	}
	compareRows(t, UK868, want)
}

func TestRU864Rows(t *testing.T) {
	compareRows(t, RU864, []wantRow{
		{key: "ru-864-870", fromMHz: 864, toMHz: 870, limitDBm: 16, ref: EIRP,
			more:   Rule{Duty: 0.01, DutyWindowS: 3600},
			source: "v1.0.3revA", clause: "RU864", year: 2018, confidence: "C"},
	})
}
