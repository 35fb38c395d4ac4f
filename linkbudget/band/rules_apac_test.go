package band

import "testing"

// Rows typed from reference notes on LoRa, section 5.3.

func TestAU915Rows(t *testing.T) {
	want := []wantRow{
		{key: "au-915-fh", limitMW: 1000, clause: "hopping", more: Rule{MinHops: 20}},
		{key: "au-915-dm", limitMW: 1000, clause: "digital modulation",
			more: Rule{Min6dBBWHz: 500e3, DensityPerHz: 3e3, DensityDBm: 13.9794}}, // 25 mW
		{key: "au-915-any", limitMW: 3, clause: "all transmitters"},
	}
	for i := range want {
		want[i].fromMHz, want[i].toMHz, want[i].ref = 915, 928, EIRP
		want[i].source, want[i].year, want[i].confidence = "F2015L01438", 2015, "C"
	}
	compareRows(t, AU915, want)
}

func TestNZ915Rows(t *testing.T) {
	compareRows(t, NZ915, []wantRow{
		{key: "nz-915", fromMHz: 915, toMHz: 928, limitDBm: 30, ref: EIRP, // 0 dBW
			source: "General User Radio Licence", clause: "Gazette", year: 2022, confidence: "C"},
		{key: "nz-864", fromMHz: 864, toMHz: 868, limitDBm: 36, tolDBm: 0.05, ref: EIRP, // 4 W, 6 dBW
			source: "General User Radio Licence", clause: "Gazette", year: 2022, confidence: "C"},
	})
}

func TestIndianRows(t *testing.T) {
	compareRows(t, IN865, []wantRow{
		{key: "in-865", fromMHz: 865, toMHz: 868, limitDBm: 29.2, ref: EIRP, more: Rule{MaxChannelHz: 200e3},
			source: "GSR 853(E)", clause: "IN865", year: 2025, confidence: "C"},
		{key: "in-865-2005", fromMHz: 865, toMHz: 867, limitMW: 4000, ref: ERP, more: Rule{MaxChannelHz: 200e3, Class: "superseded"},
			source: "GSR 168(E)", clause: "superseded", year: 2005, confidence: "A"},
	})
	compareRows(t, IN433, []wantRow{
		{key: "in-433", fromMHz: 433.05, toMHz: 434.79, limitMW: 10, ref: ERP, more: Rule{Duty: 0.1, DutyWindowS: 3600},
			source: "9 May 2022", year: 2022, confidence: "B"},
		{key: "in-433-wide", fromMHz: 433.05, toMHz: 434.79, limitMW: 1, ref: ERP,
			more:   Rule{DensityDBm: -13, DensityPerHz: 10e3, DensityOverHz: 250e3},
			source: "9 May 2022", year: 2022, confidence: "B"},
		{key: "in-433-narrow", fromMHz: 433.05, toMHz: 434.79, limitMW: 10, ref: ERP, more: Rule{MaxChannelHz: 25e3},
			source: "9 May 2022", year: 2022, confidence: "B"},
	})
}

// TestJP920Rows: 20 mW conducted, antenna of at most 3 dBi, 16 dBm EIRP,
// 200 kHz channels; 5 ms and -80 dBm, or 128 us with 360 s/h and 400 ms.
func TestJP920Rows(t *testing.T) {
	row := func(more Rule) Rule {
		more.GainThresholdDBi, more.EIRPCap, more.MaxChannelHz = 3, 16, 200e3
		return more
	}
	compareRows(t, JP920, []wantRow{
		{key: "jp-920-lbt", fromMHz: 920.6, toMHz: 923.4, limitMW: 20, ref: Conducted,
			more:   row(Rule{ListenS: 0.005, ListenThresholdDBm: -80, MaxTxS: 4}),
			source: "STD-T108 v1.4/v1.5", clause: "24-38", year: 2023, confidence: "B"},
		{key: "jp-920-dc", fromMHz: 920.6, toMHz: 923.4, limitMW: 20, ref: Conducted, more: row(Rule{}),
			source: "STD-T108 v1.4/v1.5", clause: "24-38", year: 2023, confidence: "C"}, // "B; duty value C"
		{key: "jp-922-928", fromMHz: 922.4, toMHz: 928.0, limitMW: 20, ref: Conducted,
			more:   row(Rule{ListenS: 0.000128, Duty: 360.0 / 3600, DutyWindowS: 3600, DwellS: 0.4}),
			source: "STD-T108 v1.4/v1.5", clause: "37-61", year: 2023, confidence: "B"},
	})
}

func TestKR920Rows(t *testing.T) {
	profile := Rule{ListenS: 0.006, ListenThresholdDBm: -65, ListenBWHz: 200e3, MaxChannelHz: 200e3}
	compareRows(t, KR920, []wantRow{
		{key: "kr-920-low", fromMHz: 920.9, toMHz: 921.9, limitDBm: 10, ref: EIRP, more: profile,
			source: "KCC", clause: "2.9", year: 2018, confidence: "B"},
		{key: "kr-920-high", fromMHz: 922.1, toMHz: 923.3, limitDBm: 14, ref: EIRP, more: profile,
			source: "KCC", clause: "2.9", year: 2018, confidence: "B"},
	})
}

// TestAS923Rows: 16 dBm EIRP, 400 ms, 1 %.
func TestAS923Rows(t *testing.T) {
	for _, w := range []struct {
		band       Band
		from, upto float64
	}{{AS9231, 915, 928}, {AS9232, 920, 923}, {AS9233, 915, 921}, {AS9234, 917, 920}} {
		compareRows(t, w.band, []wantRow{
			{key: string(w.band), fromMHz: w.from, toMHz: w.upto, limitDBm: 16, ref: EIRP,
				more:   Rule{DwellS: 0.4, Duty: 0.01, DutyWindowS: 3600},
				source: "RP002-1.0.5", clause: "3.10", year: 2025, confidence: "B"},
		})
	}
}

func TestCN470Rows(t *testing.T) {
	compareRows(t, CN470, []wantRow{
		{key: "cn-470", fromMHz: 470, toMHz: 510, limitDBm: 19.15, ref: EIRP, more: Rule{MaxTxS: 1, MaxChannelHz: 200e3},
			source: "MIIT", clause: "CN470", year: 2024, confidence: "B"},
	})
}
