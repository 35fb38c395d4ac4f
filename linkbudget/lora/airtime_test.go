package lora

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

func TestPublishedAirtimes(t *testing.T) {
	a, b, c, d, e := publishedAirtimes()
	total := 0
	for _, block := range []struct {
		name string
		rows []toa
		want int
	}{{"A", a, 18}, {"B", b, 28}, {"C", c, 9}, {"D", d, 16}, {"E", e, 6}} {
		if len(block.rows) != block.want {
			t.Errorf("block %s has %d rows, want %d", block.name, len(block.rows), block.want)
		}
		for _, row := range block.rows {
			row.check(t)
			total++
		}
	}
	if total != 77 {
		t.Errorf("%d published airtimes checked, want 77", total)
	}
}

// C1 with its parts, and the symbol counts C3 to C5 of the same Go package as
// C2, which also gives 23 payload symbols for C2.
func TestPublishedSymbolCounts(t *testing.T) {
	rows := []struct {
		id       string
		m        Modem
		payloadB int
		implicit bool
		want     int
	}{
		{"C1", Modem{SF: 9, BWHz: 125e3, CR: 1, LDRO: LDROOff}, 13, false, 28},
		{"C2", Modem{SF: 12, BWHz: 125e3, CR: 1, LDRO: LDROOff}, 13, false, 23},
		{"C3", Modem{SF: 12, BWHz: 125e3, CR: 2, LDRO: LDROOff}, 13, false, 26},
		{"C4", Modem{SF: 12, BWHz: 125e3, CR: 1, LDRO: LDROOff}, 13, true, 18},
		{"C5", Modem{SF: 12, BWHz: 125e3, CR: 1, LDRO: LDROOn}, 50, false, 58},
	}
	for _, row := range rows {
		for _, f := range []Family{FamilySX126x, FamilySX127x} {
			a, err := TimeOnAir(row.m, Packet{PayloadB: row.payloadB, PreambleSymbols: 8, ImplicitHeader: row.implicit}, f)
			if err != nil || a.PayloadSymbols != row.want {
				t.Errorf("%s %v: %d payload symbols, %v, want %d", row.id, f, a.PayloadSymbols, err, row.want)
			}
			switch row.id {
			case "C1":
				check.Near(t, "C1 preamble, ms", a.PreambleS*1e3, 50.176, 1e-6)
				check.Near(t, "C1 payload, ms", a.PayloadS*1e3, 114.688, 1e-6)
			case "C2":
				check.Near(t, "C2 preamble, ms", a.PreambleS*1e3, 401.408, 1e-6)
			}
		}
	}
}

// F: LoRaWAN Regional Parameters RP002-1.0.5, table 73 (AS923): the largest
// MACPayload M that 400 ms of dwell time allow; the physical payload is M + 5.
// The limit must hold at M and break at M + 1. The airtimes are computed.
func TestDwellTimeBoundary(t *testing.T) {
	rows := []struct {
		id             string
		sf, macPayload int
		ms, oneMoreMS  float64
	}{
		{"F1", 10, 19, 370.688, 411.648},
		{"F2", 9, 61, 390.144, 410.624},
		{"F3", 8, 133, 399.872, 410.112},
		{"F4", 7, 250, 399.616, 0}, // 255 bytes, the longest packet there is
	}
	const dwellMS = 400
	for _, row := range rows {
		toa{id: row.id, payloadB: row.macPayload + 5, sf: row.sf, kHz: 125, ms: row.ms}.check(t)
		if !(row.ms <= dwellMS) {
			t.Errorf("%s: %v ms at the limit", row.id, row.ms)
		}
		if row.oneMoreMS == 0 {
			_, err := TimeOnAir(Modem{SF: row.sf, BWHz: 125e3, CR: 1}, Packet{PayloadB: row.macPayload + 6, PreambleSymbols: 8},
				FamilySX126x)
			if err == nil {
				t.Errorf("%s: 256 bytes passed", row.id)
			}
			continue
		}
		toa{id: row.id + " + 1", payloadB: row.macPayload + 6, sf: row.sf, kHz: 125, ms: row.oneMoreMS}.check(t)
		if !(row.oneMoreMS > dwellMS) {
			t.Errorf("%s: %v ms over the limit", row.id, row.oneMoreMS)
		}
	}
	if len(rows) != 4 {
		t.Errorf("%d boundary rows, want 4", len(rows))
	}
}

// No published counterpart: worked out from the datasheet formulas apart from
// this code, in floating point.
func TestComputedAirtimes(t *testing.T) {
	for i, row := range []toa{
		{payloadB: 20, sf: 5, kHz: 125, preamble: 12, oneForm: true, ms: 18.240},
		{payloadB: 20, sf: 6, kHz: 125, preamble: 12, oneForm: true, ms: 33.920},
		{payloadB: 50, sf: 5, kHz: 500, preamble: 12, oneForm: true, ms: 8.400},
		{payloadB: 100, sf: 6, kHz: 250, cr: 4, preamble: 12, oneForm: true, ms: 76.352},
		{payloadB: 64, sf: 12, kHz: 125, ms: 2793.472},
		{payloadB: 255, sf: 12, kHz: 125, ms: 9019.392},
		{payloadB: 64, sf: 11, kHz: 125, ms: 1560.576},
		{payloadB: 235, sf: 7, kHz: 125, ms: 368.896},
		{payloadB: 16, sf: 10, kHz: 62.5, ms: 741.376},
		{payloadB: 32, sf: 9, kHz: 62.5, ms: 493.568},
		{payloadB: 32, sf: 8, kHz: 31.25, ms: 534.528},
		{payloadB: 32, sf: 7, kHz: 41.7, ms: 215.808},
		{payloadB: 50, sf: 12, kHz: 250, preamble: 16, ms: 1282.048},
		{payloadB: 16, sf: 12, kHz: 7.8, ms: 21102.592},
		{payloadB: 20, sf: 9, kHz: 125, ms: 185.344},
		{payloadB: 50, sf: 9, kHz: 125, ms: 328.704},
		{payloadB: 23, sf: 12, kHz: 500, preamble: 10, implicit: true, noCRC: true, ms: 305.152},
		// The figure circulated for 20 bytes at SF11, 4/8 is without LDRO.
		{payloadB: 20, sf: 11, kHz: 125, cr: 4, ldro: LDROOff, ms: 856.064},
		{payloadB: 20, sf: 11, kHz: 125, cr: 4, ms: 987.136},
		// A numerator below 0 (8 - 48 + 8 bits): the 8 fixed symbols alone. By
		// hand: 20.25 symbols of 32.768 ms.
		{payloadB: 1, sf: 12, kHz: 125, implicit: true, noCRC: true, ms: 663.552},
		// 24 bytes at SF10 to SF7, printed to 0.1 ms.
		{payloadB: 24, sf: 10, kHz: 125, ms: 370.7, tolMS: 0.05},
		{payloadB: 24, sf: 9, kHz: 125, ms: 205.8, tolMS: 0.05},
		{payloadB: 24, sf: 8, kHz: 125, ms: 113.2, tolMS: 0.05},
		{payloadB: 24, sf: 7, kHz: 125, ms: 61.7, tolMS: 0.05},
	} {
		row.id = fmt.Sprintf("computed %d", i+1)
		row.check(t)
	}
	// D4's payloads in the SX127x form at SF6, which needs the implicit header:
	// 20 header bits fewer than the 22.656, 38.016, 114.816 and 173.184 ms of
	// the explicit header that form cannot send. By hand, blocks of 24 bits at
	// 6 symbols of 0.512 ms after 20.25 symbols: ceil((8 PL + 0)/24) blocks.
	for pl, blocks := range map[int]float64{7: 3, 23: 8, 98: 33, 156: 52} {
		toa{
			id: "SX127x SF6", payloadB: pl, sf: 6, kHz: 125, cr: 2, implicit: true,
			family: FamilySX127x, oneForm: true, ms: (20.25 + 6*blocks) * 0.512,
		}.check(t)
	}
}

func TestTimeOnAirRefuses(t *testing.T) {
	good := Modem{SF: 7, BWHz: 125e3, CR: 1}
	packet := Packet{PayloadB: 20, PreambleSymbols: 8}
	rows := []struct {
		m    Modem
		p    Packet
		f    Family
		want []string
	}{
		{Modem{SF: 4, BWHz: 1, CR: 5}, Packet{PayloadB: 256}, FamilySX126x,
			[]string{"sf: found 4", "bw_khz: found 0.001", "coding rate: found 5", "payload: found 256", "1 to 255",
				"preamble: found 0", "1 to 65535"}},
		{good, Packet{PayloadB: 0, PreambleSymbols: 65536}, FamilySX126x, []string{"payload: found 0", "preamble: found 65536"}},
		{good, Packet{PayloadB: math.MinInt, PreambleSymbols: math.MaxInt}, FamilySX126x, []string{"bytes", "symbols"}},
		{good, packet, 9, []string{"Family(9)", "SX126x", "SX127x"}},
		{Modem{SF: 5, BWHz: 125e3, CR: 1}, packet, FamilySX127x, []string{"found 5 with SX127x", "6 to 12"}},
		{Modem{SF: 6, BWHz: 125e3, CR: 1}, packet, FamilySX127x, []string{"SF6", "explicit", "implicit"}},
		{Modem{SF: 6, BWHz: 125e3, CR: 1, LDRO: LDROOn}, packet, FamilySX126x, []string{"SF6", "auto or off"}},
	}
	for _, row := range rows {
		a, err := TimeOnAir(row.m, row.p, row.f)
		if err == nil || a != (Airtime{}) {
			t.Errorf("%+v %+v %v: %+v, %v, want an error", row.m, row.p, row.f, a, err)
			continue
		}
		for _, want := range row.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%q lacks %q", err, want)
			}
		}
	}
}
