package lora

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/terrain/fault"
)

// Family is a family of LoRa chips that counts the symbols of a packet alike.
// The two differ only at SF5 and SF6, which are not interoperable either.
type Family uint8

// FamilySX126x, the zero value, covers SX1261/2/8 and, with fewer settings,
// LLCC68; the LR11xx family counts alike from SF7 up. FamilySX127x covers
// SX1272/3 and SX1276/7/8/9.
const (
	FamilySX126x Family = iota
	FamilySX127x
)

// String returns "SX126x" or "SX127x".
func (f Family) String() string {
	switch f {
	case FamilySX126x:
		return "SX126x"
	case FamilySX127x:
		return "SX127x"
	}
	return fmt.Sprintf("Family(%d)", uint8(f))
}

// Limits of a packet.
const (
	maxPayloadB        = 255   // one length byte
	maxPreambleSymbols = 65535 // a 16-bit register
)

// Packet is the frame as the radio sends it.
type Packet struct {
	// PayloadB is the whole physical payload in bytes, headers and signature of
	// any protocol included; 1 to 255.
	PayloadB int
	// PreambleSymbols is the programmed count, 1 to 65535; the chip adds 4.25
	// symbols (6.25 at SF5 and SF6 of the SX126x). LoRaWAN uses 8; the SX126x
	// datasheet recommends 12 at SF5 and SF6.
	PreambleSymbols int
	// ImplicitHeader leaves the header out.
	ImplicitHeader bool
	// NoCRC leaves the 16-bit payload checksum out.
	NoCRC bool
}

// Validate returns every fault of the packet at once, or nil.
func (p Packet) Validate() error {
	return errors.Join(
		fault.Range("payload", float64(p.PayloadB), 1, maxPayloadB, "bytes"),
		fault.Range("preamble", float64(p.PreambleSymbols), 1, maxPreambleSymbols, "symbols"))
}

// Airtime is how long a packet is on the air, and its parts. The times are
// whole microseconds, exactly.
type Airtime struct {
	SymbolS         float64 // duration of one symbol
	PreambleS       float64 // preamble with sync word and start of frame
	PayloadS        float64 // header, payload and checksum
	TotalS          float64 // PreambleS + PayloadS
	PreambleSymbols float64 // programmed symbols and the fixed 4.25 or 6.25
	PayloadSymbols  int     // header, payload and checksum
	LDRO            bool    // low-data-rate optimisation was on
}

// TimeOnAir returns the time a packet occupies the channel:
//
//	T      = (n_pre + 4.25 + n_pay) 2^SF/BW
//	n_pay  = 8 + ceil(max(8 PL + 16 CRC - 4 SF + 8 + 20 H, 0) / (4 (SF - 2 DE))) (CR + 4)
//
// with H = 1 for an explicit header and DE = 1 with low-data-rate
// optimisation. SX1276/77/78/79 datasheet Rev 4, 4.1.1.7. The SX1261/2
// datasheet Rev 1.1, 6.1.4, agrees, except at SF5 and SF6: 6.25 symbols for
// 4.25, and no "+ 8" in the numerator.
//
// Errors name every fault of modem and packet at once, and what the family
// cannot do: SX127x has no SF5, and SF6 only with an implicit header; SX126x
// has no low-data-rate optimisation at SF5 and SF6.
func TimeOnAir(m Modem, p Packet, f Family) (Airtime, error) {
	if err := errors.Join(m.Validate(), p.Validate(), f.check(m, p)); err != nil {
		return Airtime{}, err
	}
	shortSF := f == FamilySX126x && m.SF <= 6

	// Integers throughout: a division in floating point can land just above a
	// whole number and cost a block of symbols.
	bits := 8*p.PayloadB - 4*m.SF
	if !p.NoCRC {
		bits += 16
	}
	if !p.ImplicitHeader {
		bits += 20
	}
	if !shortSF {
		bits += 8
	}
	bitsPerBlock := 4 * m.SF
	if m.LDROOn() {
		bitsPerBlock = 4 * (m.SF - 2)
	}
	blocks := (max(bits, 0) + bitsPerBlock - 1) / bitsPerBlock
	payloadSymbols := 8 + blocks*(m.CR+4)

	quarters := 4*p.PreambleSymbols + 17 // quarter symbols: 4.25 = 17/4
	if shortSF {
		quarters = 4*p.PreambleSymbols + 25 // 6.25 = 25/4
	}

	// A symbol lasts at least 64 us and a multiple of 4 us, so that its quarter
	// is a whole number of microseconds.
	symbolUS := m.symbolUS()
	preambleUS := int64(quarters) * (symbolUS / 4)
	payloadUS := int64(payloadSymbols) * symbolUS
	return Airtime{
		SymbolS:         float64(symbolUS) / 1e6,
		PreambleS:       float64(preambleUS) / 1e6,
		PayloadS:        float64(payloadUS) / 1e6,
		TotalS:          float64(preambleUS+payloadUS) / 1e6,
		PreambleSymbols: float64(quarters) / 4,
		PayloadSymbols:  payloadSymbols,
		LDRO:            m.LDROOn(),
	}, nil
}

// check returns what the family cannot do of otherwise valid settings.
func (f Family) check(m Modem, p Packet) error {
	switch f {
	case FamilySX126x:
		if m.LDRO == LDROOn && m.SF == 6 {
			return fault.Found("low-data-rate optimisation", "on at SF6", "auto or off: SX126x does not have it there")
		}
	case FamilySX127x:
		switch {
		case m.SF == 5:
			return fault.Found("sf", "5 with SX127x", "6 to 12: only SX126x has SF5")
		case m.SF == 6 && !p.ImplicitHeader:
			return fault.Found("header", "explicit at SF6", "implicit: SX127x sends no header at SF6")
		}
	default:
		return fault.Found("chip family", f, "SX126x, SX127x")
	}
	return nil
}
