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

// anyModem draws from the settings Validate accepts.
func anyModem(minSF int) *rapid.Generator[Modem] {
	return rapid.Custom(func(t *rapid.T) Modem {
		m := Modem{
			SF:   rapid.IntRange(minSF, 12).Draw(t, "sf"),
			BWHz: rapid.SampledFrom(Bandwidths()).Draw(t, "bw"),
			CR:   rapid.IntRange(1, 4).Draw(t, "cr"),
			LDRO: rapid.SampledFrom([]LDROMode{LDROAuto, LDROOn, LDROOff}).Draw(t, "ldro"),
		}
		if m.SF <= 6 && m.LDRO == LDROOn {
			m.LDRO = LDROAuto
		}
		return m
	})
}

// Symbol times in milliseconds: 2^SF/BW with the exact bandwidths (computed).
// on marks low-data-rate optimisation by the rule of the SX1261/2 datasheet
// Rev 1.1, 6.1.1.4: the 16.384 ms diagonal and all below it.
func TestSymbolTimeAndLDRO(t *testing.T) {
	rows := []struct {
		sf int
		ms [10]float64
		on int // how many of the narrowest bandwidths have it
	}{
		{5, [10]float64{4.096, 3.072, 2.048, 1.536, 1.024, 0.768, 0.512, 0.256, 0.128, 0.064}, 0},
		{6, [10]float64{8.192, 6.144, 4.096, 3.072, 2.048, 1.536, 1.024, 0.512, 0.256, 0.128}, 0},
		{7, [10]float64{16.384, 12.288, 8.192, 6.144, 4.096, 3.072, 2.048, 1.024, 0.512, 0.256}, 1},
		{8, [10]float64{32.768, 24.576, 16.384, 12.288, 8.192, 6.144, 4.096, 2.048, 1.024, 0.512}, 3},
		{9, [10]float64{65.536, 49.152, 32.768, 24.576, 16.384, 12.288, 8.192, 4.096, 2.048, 1.024}, 5},
		{10, [10]float64{131.072, 98.304, 65.536, 49.152, 32.768, 24.576, 16.384, 8.192, 4.096, 2.048}, 7},
		{11, [10]float64{262.144, 196.608, 131.072, 98.304, 65.536, 49.152, 32.768, 16.384, 8.192, 4.096}, 8},
		{12, [10]float64{524.288, 393.216, 262.144, 196.608, 131.072, 98.304, 65.536, 32.768, 16.384, 8.192}, 9},
	}
	for _, row := range rows {
		for i, bwHz := range Bandwidths() {
			m := Modem{SF: row.sf, BWHz: bwHz, CR: 1}
			name := fmt.Sprintf("SF%d/%.1fk", row.sf, bwHz/1e3)
			check.Near(t, name+" symbol in ms", m.SymbolS()*1e3, row.ms[i], 1e-9)
			if got, want := m.LDROOn(), i < row.on; got != want {
				t.Errorf("%s: LDRO auto = %v, want %v", name, got, want)
			}
			m.LDRO = LDROOn
			if !m.LDROOn() {
				t.Errorf("%s: LDRO on is off", name)
			}
			m.LDRO = LDROOff
			if m.LDROOn() {
				t.Errorf("%s: LDRO off is on", name)
			}
		}
	}
}

// The tolerance is half a unit of the last digit printed, except where said.
func TestPublishedBitRates(t *testing.T) {
	const (
		t12  = "SX1276/77/78/79 datasheet Rev 4, table 12"
		t15  = "SX1276/77/78/79 datasheet Rev 4, table 15"
		t37  = "SX1261/2 datasheet Rev 1.1, table 3-7"
		ttn  = "The Things Network documentation"
		lwan = "LoRaWAN indicative rates (quoted)"
	)
	rows := []struct {
		sf          int
		kHz         float64
		published   float64
		tol         float64
		withLDRO    bool
		source      string
		formulaBitS float64 // computed
	}{
		// Table 12 is reached only with the datasheet's own rounding of the
		// bandwidth, 10.42 kHz: 781.5.
		{6, 10.4, 782, 0.8, false, t12, 781.25},
		{6, 20.8, 1562, 0.5, false, t12, 1562.5},
		{6, 62.5, 4688, 0.5, false, t12, 4687.5},
		{6, 125, 9380, 5, false, t12, 9375},
		{12, 7.8, 18, 0.5, false, t15, 18.31},
		{12, 10.4, 24, 0.5, false, t15, 24.41},
		{12, 15.6, 37, 0.5, false, t15, 36.62},
		{12, 20.8, 49, 0.5, false, t15, 48.83},
		{12, 31.25, 73, 0.5, false, t15, 73.24},
		{12, 41.7, 98, 0.5, false, t15, 97.66},
		{12, 62.5, 146, 0.5, false, t15, 146.48},
		{12, 125, 293, 0.5, false, t15, 292.97},
		{12, 250, 586, 0.5, false, t15, 585.94},
		{12, 500, 1172, 0.5, false, t15, 1171.875},
		{5, 500, 62500, 50, false, t37, 62500},
		{7, 125, 5500, 50, false, ttn, 5468.75},
		{7, 250, 10900, 50, false, ttn, 10937.5},
		{7, 500, 21900, 50, false, ttn, 21875},
		{8, 125, 3125, 0.5, false, lwan, 3125},
		{9, 125, 1760, 5, false, lwan, 1757.8125},
		{10, 125, 980, 5, false, lwan, 976.5625},
		{11, 125, 440, 5, true, lwan, 439.453125},
		// Printed as 250 for 244.1: not rounding, "indicative".
		{12, 125, 250, 6, true, lwan, 244.140625},
	}
	for _, row := range rows {
		bwHz, err := ParseBandwidthKHz(row.kHz)
		if err != nil {
			t.Fatal(err)
		}
		m := Modem{SF: row.sf, BWHz: bwHz, CR: 1, LDRO: LDROOff}
		if row.withLDRO {
			m.LDRO = LDROAuto
		}
		got := m.BitRate()
		name := fmt.Sprintf("SF%d/%vk, %s", row.sf, row.kHz, row.source)
		check.Near(t, name, got, row.published, row.tol)
		check.Near(t, name+", formula", got, row.formulaBitS, 0.005)
	}
	// The coding rate: SF7/125 kHz carries 6835.9375 coded bit/s (computed).
	for cr, want := range map[int]float64{1: 5468.75, 2: 6835.9375 * 4 / 6, 3: 6835.9375 * 4 / 7, 4: 3417.96875} {
		m := Modem{SF: 7, BWHz: 125e3, CR: cr}
		check.Near(t, fmt.Sprintf("CR %d", cr), m.BitRate(), want, 1e-9)
	}
}

// SX1276/77/78/79 datasheet Rev 4, table 13, and SX1261/2 datasheet Rev 1.1,
// table 6-1.
func TestRequiredSNR(t *testing.T) {
	for sf, want := range map[int]radio.DB{5: -2.5, 6: -5, 7: -7.5, 8: -10, 9: -12.5, 10: -15, 11: -17.5, 12: -20} {
		for _, bwHz := range Bandwidths() {
			if got := (Modem{SF: sf, BWHz: bwHz, CR: 1}).RequiredSNR(); got != want {
				t.Errorf("SF%d/%v Hz: %v dB, want %v", sf, bwHz, got, want)
			}
		}
	}
}

func TestModemValidateNamesEveryFault(t *testing.T) {
	err := Modem{SF: 13, BWHz: 12500, CR: 0, LDRO: 7}.Validate()
	if err == nil {
		t.Fatal("no error")
	}
	for _, want := range []string{"sf: found 13", "5 to 12", "found 12.5", "31.25", "coding rate: found 0", "1 to 4",
		"LDROMode(7)", "auto, on, off"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q lacks %q", err, want)
		}
	}
	if (Modem{SF: 5, BWHz: 125e3, CR: 1, LDRO: LDROOn}).Validate() == nil {
		t.Error("LDRO on at SF5 passed")
	}
	if err := (Modem{SF: 7, BWHz: 10416.667, CR: 1}).Validate(); err != nil {
		t.Errorf("rounded exact bandwidth: %v", err)
	}
	for _, hz := range []float64{125010, 124990, 10400, 7800, 31200} {
		if (Modem{SF: 7, BWHz: hz, CR: 1}).Validate() == nil {
			t.Errorf("%v Hz passed", hz)
		}
	}
}

// Whatever is put in, no method answers with NaN or an infinity; what Validate
// refuses gives a sensitivity that closes no link.
func TestModemNeverNaN(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := Modem{
			SF: rapid.IntRange(-1000, 1000).Draw(t, "sf"),
			BWHz: rapid.SampledFrom([]float64{0, -125e3, 125e3, 500e3, 1e308, math.NaN(), math.Inf(1), math.Inf(-1)}).Draw(t,
				"bw"),
			CR:   rapid.IntRange(-5, 9).Draw(t, "cr"),
			LDRO: LDROMode(rapid.IntRange(0, 5).Draw(t, "ldro")),
		}
		nf := radio.DB(rapid.SampledFrom([]float64{0, 6, math.NaN(), math.Inf(1)}).Draw(t, "nf"))
		for _, v := range []float64{
			m.SymbolS(), m.BitRate(), float64(m.RequiredSNR()), float64(m.Sensitivity(nf)),
		} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%+v, noise figure %v: %v", m, nf, v)
			}
		}
		if sf, bw := m.SF < 5 || m.SF > 12, m.BWHz != 125e3 && m.BWHz != 500e3; (sf || bw) && m.Sensitivity(nf) != 0 {
			t.Fatalf("%+v: sensitivity %v of an invalid modem", m, m.Sensitivity(nf))
		}
	})
}
