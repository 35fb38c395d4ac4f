package linkbudget

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// In milliamperes: SX1261/2 datasheet Rev 1.1, table 3-5; SX1276/77/78/79
// datasheet Rev 4, tables 6 and 10; LLCC68 from the vendor's headline,
// secondary.
func TestChipCurrents(t *testing.T) {
	want := map[string]float64{
		"SX1262 sleep, cold start": 160e-6, "SX1262 sleep, warm start": 600e-6, "SX1262 sleep, warm start, 64 kHz timer": 1.2e-3,
		"SX1262 standby RC": 0.6, "SX1262 standby crystal": 0.8, "SX1262 synthesizer, DC-DC": 2.1, "SX1262 synthesizer, LDO": 3.55,
		"SX1262 receive 125 kHz, DC-DC": 4.6, "SX1262 receive 125 kHz, DC-DC, boosted": 5.3,
		"SX1262 receive 125 kHz, LDO": 8.8, "SX1262 receive 125 kHz, LDO, boosted": 10.1, "SX1262 receive 125 kHz, DC-DC, 1.8 V": 8.2,
		"LLCC68 receive": 4.2,
		"SX1276 sleep":   0.2e-3, "SX1276 sleep, worst": 1e-3, "SX1276 idle RC": 1.5e-3, "SX1276 standby crystal": 1.6,
		"SX1276 receive band 1, 62.5 kHz and less": 9.9, "SX1276 receive band 1, 125 kHz": 10.3, "SX1276 receive band 1, 250 kHz": 11.1, "SX1276 receive band 1, 500 kHz": 12.6,
		"SX1276 receive band 1, boosted":                  11.5,
		"SX1276 receive bands 2 and 3, 62.5 kHz and less": 11.0, "SX1276 receive bands 2 and 3, 125 kHz": 11.5, "SX1276 receive bands 2 and 3, 250 kHz": 12.4, "SX1276 receive bands 2 and 3, 500 kHz": 13.8,
	}
	if got := len(ChipCurrents()); got != len(want) {
		t.Errorf("%d currents, want %d", got, len(want))
	}
	for _, c := range ChipCurrents() {
		name := c.Chip + " " + c.Mode
		radioWithin(t, name+" in mA", c.CurrentA*1e3, want[name], 1e-12)
		if found, err := ChipCurrentByMode(strings.ToLower(c.Chip), strings.ToUpper(c.Mode)); err != nil || found != c {
			t.Errorf("%s: found %+v, %v", name, found, err)
		}
	}
	if _, err := ChipCurrentByMode("LR1121", "receive"); err == nil || !strings.Contains(err.Error(), "SX1262, LLCC68, SX1276") {
		t.Errorf("%v", err)
	}
	if _, err := ChipCurrentByMode("SX1276", "doze"); err == nil || !strings.Contains(err.Error(), "standby crystal") {
		t.Errorf("%v", err)
	}
}

// In milliamperes: SX1261/2 datasheet Rev 1.1, table 3-6; SX1276/77/78/79
// datasheet Rev 4, table 6. Rows marked by hand lie between two points.
func TestTxCurrent(t *testing.T) {
	for _, row := range []struct {
		chip, match string
		mhz         float64
		power       DBm
		mA          float64
	}{
		{"SX1262", "22 dBm", 868, 22, 118}, {"SX1262", "22 dBm", 915, 20, 102}, {"SX1262", "22 dBm", 868, 17, 95}, {"sx1262", "22 DBM", 868, 14, 90},
		{"SX1262", "22 dBm", 434, 22, 107}, {"SX1262", "22 dBm", 490, 20, 90}, {"SX1262", "22 dBm", 434, 17, 75}, {"SX1262", "22 dBm", 434, 14, 63},
		{"SX1262", "optimised", 868, 20, 84}, {"SX1262", "optimised", 868, 17, 58}, {"SX1262", "optimised", 868, 14, 45},
		{"SX1262", "optimised", 434, 20, 65}, {"SX1262", "optimised", 434, 17, 42}, {"SX1262", "optimised", 434, 14, 32},
		{"SX1261", "15 dBm", 868, 15, 32.5}, {"SX1261", "15 dBm", 868, 14, 25.5}, {"SX1261", "15 dBm", 868, 10, 18}, {"SX1261", "optimised", 868, 10, 15},
		{"SX1261", "15 dBm", 434, 15, 25.5}, {"SX1261", "15 dBm", 434, 14, 21}, {"SX1261", "15 dBm", 434, 10, 14.5},
		{"SX1276", "PA_BOOST", 868, 20, 120}, {"SX1276", "PA_BOOST", 434, 17, 87}, {"SX1276", "RFO", 868, 13, 29}, {"SX1276", "RFO", 434, 7, 20},
		{"SX1262", "22 dBm", 868, 21, 110},    // by hand
		{"SX1262", "22 dBm", 868, 15.5, 92.5}, // by hand
		{"SX1276", "RFO", 868, 10, 24.5},      // by hand
	} {
		got, err := TxCurrentA(row.chip, row.match, row.mhz*1e6, row.power)
		if err != nil {
			t.Error(err)
		}
		radioWithin(t, fmt.Sprintf("%s %s at %v MHz, %v dBm", row.chip, row.match, row.mhz, row.power), got*1e3, row.mA, 1e-9)
	}
}

// Beyond the points, between networks, at another frequency: an error that says
// what there is.
func TestTxCurrentRefuses(t *testing.T) {
	nan := math.NaN()
	for _, row := range []struct {
		chip, match string
		hz          float64
		power       DBm
		want        string
	}{
		{"SX1262", "22 dBm", 868e6, 23, "allowed 14 to 22"},
		{"SX1262", "22 dBm", 868e6, 13, "allowed 14 to 22"},
		{"SX1262", "22 dBm", 868e6, DBm(nan), "allowed 14 to 22"},
		{"SX1262", "optimised", 868e6, 18, "allowed only 14, 17, 20"},
		{"SX1262", "22 dBm", 700e6, 20, "SX1262 22 dBm at 862 to 1020 MHz"},
		{"SX1262", "22 dBm", nan, 20, "known are"},
		{"LR1121", "22 dBm", 868e6, 20, "known are"},
	} {
		got, err := TxCurrentA(row.chip, row.match, row.hz, row.power)
		if err == nil || got != 0 || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%+v: %v, %v", row, got, err)
		}
	}
}

// More power never draws less.
func TestTxCurrentRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		table := rapid.SampledFrom(TxCurrentTables()).Filter(func(c TxCurrentTable) bool { return c.Interpolate }).Draw(t, "table")
		first, last := float64(table.Points[0].PowerDBm), float64(table.Points[len(table.Points)-1].PowerDBm)
		low := rapid.Float64Range(first, last).Draw(t, "low")
		high := rapid.Float64Range(low, last).Draw(t, "high")
		a, err1 := TxCurrentA(table.Chip, table.Match, table.LowHz, DBm(low))
		b, err2 := TxCurrentA(table.Chip, table.Match, table.HighHz, DBm(high))
		if err1 != nil || err2 != nil || !(a <= b+1e-15) {
			t.Fatalf("%v at %v dBm, %v at %v dBm; %v, %v", a, low, b, high, err1, err2)
		}
	})
}
