package lora

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

// Register conversions: SX1276/77/78/79 datasheet Rev 4, 5.5.5; SX1272/73
// datasheet Rev 2, 5.5.5; SX1261/2 datasheet Rev 1.1, 13.5.3. The figures were
// computed from those formulas by hand.
func TestRSSIRegisters(t *testing.T) {
	for name, row := range map[string]struct{ got, want radio.DBm }{
		"HF, packet 40, +5 dB":        {PortSX1276HF.PacketRSSI(40, 20), -117},
		"HF, packet 30, raw SNR -40":  {PortSX1276HF.PacketRSSI(30, -40), -137},
		"LF, packet 30, raw SNR -40":  {PortSX1276LF.PacketRSSI(30, -40), -144},
		"SX1272, packet 30, raw -40":  {PortSX1272.PacketRSSI(30, -40), -119},
		"HF, packet 40, 0 dB":         {PortSX1276HF.PacketRSSI(40, 0), -117},
		"LF channel 50":               {PortSX1276LF.RSSI(50), -114},
		"SX1272 channel 50":           {PortSX1272.RSSI(50), -89},
		"SX126x raw 200":              {SX126xRSSI(200), -100},
		"SX126x raw 255":              {SX126xRSSI(255), -127.5},
		"unknown port counts as HF":   {RSSIPort(9).RSSI(0), -157},
		"SNR -10, read as a level":    {radio.DBm(RegisterSNR(-40)), -10},
		"SNR +31.75, read as a level": {radio.DBm(RegisterSNR(127)), 31.75},
	} {
		check.Near(t, name, float64(row.got), float64(row.want), 1e-12)
	}
	check.Near(t, "HF with slope, packet 80", float64(PortSX1276HF.PacketRSSISlope(80)), -71.67, 0.0051)
}

// Signal over the total by SNR (computed).
func TestSignalFromTotal(t *testing.T) {
	for snr, want := range map[radio.DB]float64{10: -0.41, 5: -1.19, 0: -3.01, -5: -6.19, -10: -10.41, -15: -15.14,
		-20: -20.04} {
		r := Reception{TotalDBm: -110, SNRDB: snr}
		name := fmt.Sprintf("SNR %v dB", snr)
		check.Near(t, name+" exact", float64(r.Signal().Sub(r.TotalDBm)), want, 0.0051)
	}
}

// Signal and noise sum to the total, and with the right noise figure both ways to the
// margin agree.
func TestReceptionProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Reception{radio.DBm(rapid.Float64Range(-150, 0).Draw(t, "total")),
			radio.DB(rapid.Float64Range(-40, 40).Draw(t, "snr"))}
		if sum := radio.SumPower(r.Signal(), r.Signal().Add(-r.SNRDB)); !(math.Abs(float64(sum.Sub(r.TotalDBm))) <= 1e-9) {
			t.Fatalf("%+v: signal %v and noise sum to %v", r, r.Signal(), sum)
		}
		noiseFigure := radio.DB(rapid.Float64Range(0, 30).Draw(t, "noise figure"))
		signal := radio.DBm(rapid.Float64Range(-140, -100).Draw(t, "signal"))
		floor := NoiseFloor(125e3, noiseFigure, 0)
		heard := Reception{radio.SumPower(signal, floor), signal.Sub(floor)}
		m := anyModem(5).Draw(t, "modem")
		m.BWHz, m.LDRO = 125e3, LDROAuto
		got, err := heard.Margin(m, noiseFigure)
		if want := signal.Sub(m.Sensitivity(noiseFigure)); err != nil || !(math.Abs(float64(got-want)) <= 1e-8) {
			t.Fatalf("%+v: margin %v, %v; want %v", heard, got, err, want)
		}
	})
}

func TestReceptionMargin(t *testing.T) {
	m := Modem{SF: 9, BWHz: 125e3, CR: 1} // needs -12.5 dB; -129.5 dBm at 6 dB
	for _, row := range []struct {
		heard Reception
		want  float64
	}{
		{Reception{-110, -10}, 2.5},    // by the SNR, whatever the level
		{Reception{-110, 5}, 17.5},     // the last that the SNR decides
		{Reception{-80, 10}, 49.092},   // -80.414 over -129.506 dBm
		{Reception{-60, 12.5}, 69.269}, // -60.237 over -129.506 dBm
	} {
		got, err := row.heard.Margin(m, 6)
		if err != nil {
			t.Error(err)
		}
		check.Near(t, fmt.Sprintf("%+v", row.heard), float64(got), row.want, 0.001)
	}
	_, err := Reception{radio.DBm(math.NaN()), radio.DB(math.Inf(1))}.Margin(Modem{SF: 3, BWHz: 125e3, CR: 1},
		radio.DB(math.NaN()))
	if err == nil {
		t.Fatal("passed")
	}
	for _, want := range []string{"rssi in dBm: found NaN", "snr in dB: found +Inf", "sf: found 3",
		"noise figure in dB: found NaN"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q lacks %q", err, want)
		}
	}
}
