package lora

import (
	"fmt"
	"testing"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

// toa is one check of TimeOnAir. Unless set otherwise: coding rate 4/5, 8
// preamble symbols, explicit header, CRC, automatic LDRO, both families.
type toa struct {
	id       string
	payloadB int
	sf       int
	kHz      float64
	cr       int // 0 means 1
	preamble int // 0 means 8
	implicit bool
	noCRC    bool
	ldro     LDROMode
	family   Family
	oneForm  bool // only family; otherwise both must agree
	ms       float64
	tolMS    float64 // 0 means exact to the microsecond
}

func (c toa) modem(t *testing.T) Modem {
	t.Helper()
	bwHz, err := ParseBandwidthKHz(c.kHz)
	if err != nil {
		t.Fatalf("%s: %v", c.id, err)
	}
	return Modem{SF: c.sf, BWHz: bwHz, CR: max(c.cr, 1), LDRO: c.ldro}
}

func (c toa) packet() Packet {
	p := Packet{PayloadB: c.payloadB, PreambleSymbols: 8, ImplicitHeader: c.implicit, NoCRC: c.noCRC}
	if c.preamble != 0 {
		p.PreambleSymbols = c.preamble
	}
	return p
}

// check compares one row; airtimes are whole microseconds, so three printed
// decimals of a millisecond are exact and 1e-6 ms only absorbs float64.
func (c toa) check(t *testing.T) {
	t.Helper()
	families := []Family{FamilySX126x, FamilySX127x}
	if c.oneForm {
		families = []Family{c.family}
	}
	for _, f := range families {
		a, err := TimeOnAir(c.modem(t), c.packet(), f)
		if err != nil {
			t.Errorf("%s %v: %v", c.id, f, err)
			continue
		}
		name := fmt.Sprintf("%s %v: %d bytes SF%d/%vk, ms", c.id, f, c.payloadB, c.sf, c.kHz)
		check.Near(t, name, a.TotalS*1e3, c.ms, max(c.tolMS, 1e-6))
		check.Near(t, name+", parts", (a.PreambleS+a.PayloadS)*1e3, a.TotalS*1e3, 1e-9)
		check.Near(t, name+", symbols", (a.PreambleSymbols+float64(a.PayloadSymbols))*a.SymbolS*1e3, a.TotalS*1e3, 1e-9)
	}
}

// publishedAirtimes returns the rows of blocks A to E.
func publishedAirtimes() (a, b, c, d, e []toa) {
	// A: unit-test vectors of the LoRaWAN stack published by The Things Network.
	for i, ms := range []float64{41.216, 72.192, 144.384, 288.768, 577.536, 991.232} {
		a = append(a, toa{id: fmt.Sprintf("A%d", 1+i), payloadB: 10, sf: 7 + i, kHz: 125, ms: ms})
	}
	a = append(a, toa{id: "A7", payloadB: 10, sf: 7, kHz: 250, ms: 20.608}, toa{id: "A8", payloadB: 10, sf: 7, kHz: 500,
		ms: 10.304})
	for i, ms := range []float64{45.312, 49.408, 53.504} {
		a = append(a, toa{id: fmt.Sprintf("A%d", 9+i), payloadB: 10, sf: 7, kHz: 125, cr: 2 + i, ms: ms})
	}
	for _, pl := range []int{13, 14, 15} {
		a = append(a, toa{id: "A12", payloadB: pl, sf: 7, kHz: 125, ms: 46.336})
	}
	for _, pl := range []int{16, 17, 18, 19} {
		a = append(a, toa{id: "A13", payloadB: pl, sf: 7, kHz: 125, ms: 51.456})
	}

	// B: unit-test vectors of an open-source LoRa modulation library, stated
	// there to agree with two public LoRaWAN airtime calculators.
	columns := []struct {
		sf  int
		kHz float64
	}{{7, 125}, {8, 125}, {9, 125}, {10, 125}, {11, 125}, {12, 125}, {7, 250}}
	for i, row := range [4][7]float64{
		{82.176, 143.872, 267.264, 493.568, 1069.056, 1974.272, 41.088},
		{82.176, 154.112, 267.264, 493.568, 1069.056, 1974.272, 41.088},
		{82.176, 154.112, 287.744, 534.528, 1069.056, 1974.272, 41.088},
		{87.296, 154.112, 287.744, 534.528, 1150.976, 2138.112, 43.648},
	} {
		for j, ms := range row {
			b = append(b, toa{id: fmt.Sprintf("B%d", 1+i), payloadB: 38 + i, sf: columns[j].sf, kHz: columns[j].kHz, ms: ms})
		}
	}

	c = []toa{
		// A public spreadsheet implementing Semtech AN1200.13.
		{id: "C1", payloadB: 13, sf: 9, kHz: 125, ldro: LDROOff, ms: 164.864},
		// Test of an open-source LoRaWAN Go package.
		{id: "C2", payloadB: 13, sf: 12, kHz: 125, ldro: LDROOff, ms: 1155.072},
		// Beacon airtime constant in an early LoRaWAN MAC source.
		{id: "C6", payloadB: 17, sf: 9, kHz: 125, implicit: true, noCRC: true, ldro: LDROOff, ms: 144.384},
		// LoRaWAN class B beacon (Regional Parameters 1.0.3revA); the airtime
		// is from memory.
		{id: "C7", payloadB: 17, sf: 9, kHz: 125, preamble: 10, implicit: true, noCRC: true, ldro: LDROOff, ms: 152.576},
	}
	// Values used with published LoRa capacity studies (quoted).
	for sf, ms := range map[int]float64{7: 78.080, 8: 139.776, 9: 246.784, 10: 493.568, 12: 1712.128} {
		c = append(c, toa{id: "C8", payloadB: 20, sf: sf, kHz: 125, cr: 4, ms: ms})
	}

	// D: unit tests of the open-source RadioLib that quote the chip maker's
	// calculator, SX126x. Two decimals are rounded there: half a unit.
	add := func(rows *[]toa, base toa, msOf map[int]float64) {
		for pl, ms := range msOf {
			base.payloadB, base.ms = pl, ms
			*rows = append(*rows, base)
		}
	}
	add(&d, toa{id: "D1", sf: 7, kHz: 125, ldro: LDROOn}, map[int]float64{1: 30.976, 10: 46.336, 50: 128.256,
		255: 548.096})
	add(&d, toa{id: "D2", sf: 11, kHz: 250, cr: 4, preamble: 16, implicit: true, noCRC: true, ldro: LDROOff},
		map[int]float64{5: 296.960, 15: 362.496, 100: 1411.072, 200: 2590.720})
	add(&d, toa{id: "D3", sf: 8, kHz: 250, cr: 4, preamble: 32, implicit: true, ldro: LDROOff, tolMS: 0.005},
		map[int]float64{10: 69.89, 20: 86.27, 80: 209.15, 160: 372.99})
	add(&d, toa{id: "D4", sf: 6, kHz: 125, cr: 2, family: FamilySX126x, oneForm: true, tolMS: 0.005},
		map[int]float64{7: 20.61, 23: 39.04, 98: 115.84, 156: 174.21})

	// E: the same test file, LR11x0.
	add(&e, toa{id: "E1", sf: 10, kHz: 250, ldro: LDROOn}, map[int]float64{1: 103.424, 20: 205.824, 100: 615.424})
	add(&e, toa{id: "E2", sf: 11, kHz: 500, cr: 2, preamble: 32, implicit: true, noCRC: true, ldro: LDROOff},
		map[int]float64{10: 205.824, 25: 279.552, 200: 1065.984})
	return a, b, c, d, e
}
