package band

import (
	"testing"

	"github.com/polereach/polereach/linkbudget/radio"
)

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

// TestIndianRows: 865 MHz after one public quotation of GSR 853(E) (25 mW ERP,
// 1 %, hopping over 58 channels of at most 50 kHz; 500 mW with adaptive power control,
// 2.5 %, 200 kHz); 433 MHz after the notes.
func TestIndianRows(t *testing.T) {
	compareRows(t, IN865, []wantRow{
		{key: "in-865", fromMHz: 865, toMHz: 868, limitMW: 25, ref: ERP,
			more:   Rule{MaxChannelHz: 50e3, MinHops: 58, Duty: 0.01, DutyWindowS: 3600},
			source: "GSR 853(E)", clause: "non-specific", year: 2021, confidence: "C"},
		{key: "in-865-data", fromMHz: 865, toMHz: 868, limitMW: 500, ref: ERP,
			more:   Rule{MaxChannelHz: 200e3, Duty: 0.025, DutyWindowS: 3600, Class: "tracking"},
			source: "GSR 853(E)", clause: "data acquisition", year: 2021, confidence: "C"},
	})
	compareRows(t, IN433, []wantRow{
		{key: "in-433", fromMHz: 433.05, toMHz: 434.79, limitMW: 10, ref: ERP, more: Rule{Duty: 0.1, DutyWindowS: 3600},
			source: "9 May 2022", year: 2022, confidence: "C"},
		{key: "in-433-wide", fromMHz: 433.05, toMHz: 434.79, limitMW: 1, ref: ERP,
			more:   Rule{DensityDBm: -13, DensityPerHz: 10e3, DensityOverHz: 250e3},
			source: "9 May 2022", year: 2022, confidence: "C"},
		{key: "in-433-narrow", fromMHz: 433.05, toMHz: 434.79, limitMW: 10, ref: ERP, more: Rule{MaxChannelHz: 25e3},
			source: "9 May 2022", year: 2022, confidence: "C"},
	})
}

// TestJP920Rows: 20 mW conducted, antenna of at most 3 dBi, 16 dBm EIRP; 5 ms and
// -80 dBm, or 128 us with 360 s/h and 400 ms (200 for two channels, 100 for more,
// from memory). Edges and five channels: ARIB's summary of STD-T108 ("920.5 MHz to
// 923.5 MHz", "1 MHz (5 channels)" until version 1.5).
func TestJP920Rows(t *testing.T) {
	row := func(more Rule) Rule {
		more.GainThresholdDBi, more.EIRPCap = 3, 16
		if more.MaxChannelHz == 0 {
			more.MaxChannelHz = 1e6
		}
		return more
	}
	timed := func(widthHz, dwellS float64) Rule {
		return row(Rule{ListenS: 0.000128, Duty: 360.0 / 3600, DutyWindowS: 3600, MaxChannelHz: widthHz, DwellS: dwellS})
	}
	want := []wantRow{
		{key: "jp-920-lbt", more: row(Rule{ListenS: 0.005, ListenThresholdDBm: -80, MaxTxS: 4}), clause: "24-38"},
		{key: "jp-920-dc", more: row(Rule{}), clause: "24-38"},
		{key: "jp-922-928-1", more: timed(200e3, 0.4)},
		{key: "jp-922-928-2", more: timed(400e3, 0.2)},
		{key: "jp-922-928-5", more: timed(1e6, 0.1)},
	}
	for i := range want {
		w := &want[i]
		w.limitMW, w.ref, w.source, w.year, w.confidence = 20, Conducted, "STD-T108 v1.5", 2023, "C"
		w.fromMHz, w.toMHz = 920.5, 923.5
		if w.clause == "" {
			w.clause, w.fromMHz, w.toMHz = "33-61", 922.3, 928.1
		}
	}
	compareRows(t, JP920, want)
}

// TestKR920Rows: powers of the notes; channels (917.1 MHz + n 0.2 MHz), 5 ms, -65 dBm,
// 4 s and 50 ms of a standards body's slides on the Korean rules.
func TestKR920Rows(t *testing.T) {
	more := Rule{ListenS: 0.005, ListenThresholdDBm: -65, MaxTxS: 4, MinOffS: 0.05, MaxChannelHz: 200e3}
	compareRows(t, KR920, []wantRow{
		{key: "kr-920-low", fromMHz: 920.8, toMHz: 922, limitDBm: 10, ref: EIRP, more: more,
			source: "917-923.5", clause: "2.9", year: 2018, confidence: "C"},
		{key: "kr-920-high", fromMHz: 922, toMHz: 923.4, limitDBm: 14, ref: EIRP, more: more,
			source: "917-923.5", clause: "2.9", year: 2018, confidence: "C"},
	})
}

// TestChannelCentres: every unit channel lies in the rows of its power, 125 kHz and
// 200 kHz wide, the outermost included: 917.1 + n 0.2 MHz in Korea (channels 20 to
// 32, 10 dBm EIRP below 922 MHz), 920.6 + n 0.2 MHz in Japan (channels 24 to 61).
func TestChannelCentres(t *testing.T) {
	for n := 20; n <= 32; n++ {
		mhz := 917.1 + float64(n-1)*0.2
		want, key := radio.DBm(14), "kr-920-high"
		if mhz < 922 {
			want, key = 10, "kr-920-low"
		}
		for _, bw := range []float64{125e3, 200e3} {
			got, row, err := largestEIRP(KR920, Use{FreqHz: mhz * 1e6, BWHz: bw})
			if err != nil || got != want || row != key {
				t.Errorf("Korea, %.1f MHz, %g kHz: %g dBm by %q, %v; want %g by %q", mhz, bw/1e3, got, row, err, want, key)
			}
		}
	}
	for n := 24; n <= 61; n++ {
		mhz := 920.6 + float64(n-24)*0.2
		r := mustCheck(t, JP920, Use{FreqHz: mhz * 1e6, BWHz: 125e3, TxDBm: 13, GainDBi: 3, AirtimeS: 0.3,
			PacketsPerHour: 100})
		if r.Verdict() != Within {
			t.Errorf("Japan, %.1f MHz: %s", mhz, r.Lines())
		}
	}
	// 250 and 500 kHz take two and three unit channels, centred between or on them.
	for _, c := range []struct{ mhz, bwKHz float64 }{{920.7, 250}, {920.8, 500}, {924.1, 250}, {925, 500}} {
		r := mustCheck(t, JP920, Use{FreqHz: c.mhz * 1e6, BWHz: c.bwKHz * 1e3, TxDBm: 13, AirtimeS: 0.09,
			PacketsPerHour: 100})
		if r.Verdict() != Within {
			t.Errorf("Japan, %g MHz, %g kHz: %s", c.mhz, c.bwKHz, r.Lines())
		}
	}
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
				source: "RP002-1.0.5", clause: "3.10", year: 2025, confidence: "C"},
		})
	}
}

func TestCN470Rows(t *testing.T) {
	compareRows(t, CN470, []wantRow{
		{key: "cn-470", fromMHz: 470, toMHz: 510, limitDBm: 19.15, ref: EIRP, more: Rule{MaxTxS: 1, MaxChannelHz: 200e3},
			source: "MIIT", clause: "CN470", year: 2024, confidence: "C"},
	})
}
