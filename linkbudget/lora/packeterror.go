package lora

import (
	"errors"
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// PacketError is the packet error rate of a modem setting and a packet over
// the signal-to-noise ratio, without fading.
//
// Model (own derivation, conservative: hard decisions). In noise a wrong symbol
// is any symbol, and the diagonal interleaver spreads it as at most one wrong
// bit per codeword. Codes 4/7 and 4/8 correct one bit, so one bad symbol in a
// block of CR+4; 4/5 and 4/6 only detect it. The first eight symbols are always
// coded 4/8, with or without a header. With p = SymbolErrorRate, L = CR+4 and
// nb the further blocks counted by TimeOnAir:
//
//	PER = 1 - P8 PL^nb
//	P8  = (1-p)^8 + 8 p (1-p)^7
//	PL  = (1-p)^L                    CR 1, 2
//	PL  = (1-p)^L + L p (1-p)^(L-1)  CR 3, 4
//
// Not modelled: a preamble that is missed, frequency offset, drift, and the
// part of a wrong symbol that low-data-rate optimisation absorbs.
type PacketError struct {
	Modem  Modem
	Packet Packet
	Family Family
}

// PER returns the packet error rate, 0 to 1, at a signal-to-noise ratio in the
// LoRa bandwidth. The model is shifted along the SNR, by spreading factor, so
// that 64 bytes at 4/5 lose 1 % of the packets at Modem.RequiredSNR: that is
// how datasheets define sensitivity. The errors are those of TimeOnAir, and an
// SNR that is no number.
func (e PacketError) PER(snr radio.DB) (float64, error) {
	w, err := e.Waterfall()
	if math.IsNaN(float64(snr)) {
		err = errors.Join(err, fault.Found("snr", "NaN", "any number of dB"))
	}
	if err != nil {
		return 0, fmt.Errorf("packet error rate: %w", err)
	}
	return w.PER(snr), nil
}

// Delivery returns the share of the packets that arrive when the mean
// signal-to-noise ratio is meanSNR and the signal fades: PER averaged over the
// fades. See the function Delivery.
func (e PacketError) Delivery(meanSNR radio.DB, fades fading.Law) (float64, error) {
	w, err := e.Waterfall()
	if math.IsNaN(float64(meanSNR)) {
		err = errors.Join(err, fault.Found("mean snr", "NaN", "any number of dB"))
	}
	if err := errors.Join(err, fades.Validate()); err != nil {
		return 0, fmt.Errorf("packet delivery: %w", err)
	}
	return fading.Delivery(w.PER, meanSNR, fades), nil
}

// Waterfall returns PER as a curve with everything checked and counted once.
func (e PacketError) Waterfall() (Waterfall, error) {
	w, err := e.theory()
	if err != nil {
		return Waterfall{}, err
	}
	w.shift = waterfallShifts[e.Modem.SF]()
	return w, nil
}

func (e PacketError) theory() (Waterfall, error) {
	airtime, err := TimeOnAir(e.Modem, e.Packet, e.Family)
	if err != nil {
		return Waterfall{}, err
	}
	length := e.Modem.CR + 4
	w := Waterfall{
		sf:       e.Modem.SF,
		blocks:   (airtime.PayloadSymbols - 8) / length,
		length:   length,
		corrects: e.Modem.CR >= 3,
		chance:   chanceSymbolError(e.Modem.SF),
	}
	w.lost = w.per(w.chance)
	return w, nil
}

// Waterfall is a packet error rate over the signal-to-noise ratio. The zero
// value loses every packet. It may be used from several goroutines.
type Waterfall struct {
	sf       int
	blocks   int      // after the first eight symbols
	length   int      // symbols per block
	corrects bool     // one bad symbol per block is repaired
	shift    radio.DB // the receiver needs this much more than theory
	// Below the table of symbol errors all are alike: their rate and that of packets.
	chance, lost float64
}

// PER returns the packet error rate, 0 to 1; for NaN it is 1.
func (w Waterfall) PER(snr radio.DB) float64 {
	if w.sf == 0 || math.IsNaN(float64(snr)) {
		return 1
	}
	p := tabulatedSymbolError(w.sf, snr-w.shift)
	if p == w.chance {
		return w.lost
	}
	return w.per(p)
}

// Surely reports whether so few packets are lost that 1 - PER is 1 in a float64:
// 8 dB above what the modem requires, less than one symbol in 10^23 is wrong, and a
// packet has less than a thousand.
func (w *Waterfall) Surely(snr radio.DB) bool {
	return w.sf != 0 && snr-w.shift >= Modem{SF: w.sf}.RequiredSNR()+8
}

// per is the packet error rate for a symbol error rate.
func (w *Waterfall) per(p float64) float64 {
	if p == 0 {
		return 0
	}
	lnWhole := math.Log1p(-p)
	// Of L symbols at most one is bad: (1-p)^(L-1) (1 + (L-1) p).
	lnArrives := 7*lnWhole + math.Log1p(7*p)
	lnBlock := float64(w.length) * lnWhole
	if w.corrects {
		others := float64(w.length - 1)
		lnBlock = others*lnWhole + math.Log1p(others*p)
	}
	lnArrives += float64(w.blocks) * lnBlock
	return max(0, -math.Expm1(lnArrives))
}

// snrFor inverts PER by bisection; PER falls with the SNR.
func (w Waterfall) snrFor(per float64) radio.DB {
	middle := Modem{SF: w.sf}.RequiredSNR() + w.shift
	lo, hi := middle-25, middle+25
	for range 50 {
		if mid := (lo + hi) / 2; w.PER(mid) > per {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// waterfallShifts says by spreading factor how far the datasheets' required
// SNR lies above the model's 1 % point of the packet they are measured with:
// 64 bytes, 4/5, header, checksum, at 125 kHz.
var waterfallShifts = bySF(func(sf int) radio.DB {
	modem := Modem{SF: sf, BWHz: 125e3, CR: 1}
	w, err := PacketError{Modem: modem, Packet: Packet{PayloadB: 64, PreambleSymbols: 8}}.theory()
	if err != nil { // the settings are constants, and a test asks for each
		return 0
	}
	return modem.RequiredSNR() - w.snrFor(0.01)
})
