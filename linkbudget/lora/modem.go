package lora

import (
	"errors"
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// LDROMode says whether low-data-rate optimisation is used. Both ends must
// agree, or nothing is received, and vendor stacks do not all follow the
// datasheet rule below 62.5 kHz: hence the override.
type LDROMode uint8

// LDROAuto, the zero value, switches the optimisation on when a symbol lasts
// 16 ms or more.
const (
	LDROAuto LDROMode = iota
	LDROOn
	LDROOff
)

// String returns "auto", "on" or "off".
func (l LDROMode) String() string {
	switch l {
	case LDROAuto:
		return "auto"
	case LDROOn:
		return "on"
	case LDROOff:
		return "off"
	}
	return fmt.Sprintf("LDROMode(%d)", uint8(l))
}

// ldroSymbolUS is the symbol time from which LDROAuto switches on. The SX1276
// datasheet Rev 4, 4.1.1.6, says "exceeds 16 ms", the SX1261/2 datasheet Rev
// 1.1, 6.1.1.4, "16.38 ms or more"; no symbol lies between, the whole diagonal
// SF7/7.8 kHz to SF12/250 kHz lasts 16.384 ms and is on.
const ldroSymbolUS = 16000

// Limits of the modem settings, over all chips.
const (
	minSF, MaxSF = 5, 12
	minCR, maxCR = 1, 4
)

// Modem is a LoRa modulation setting.
//
// Its methods expect a setting that Validate accepts. For one that it refuses
// they return 0: a sensitivity of 0 dBm is deaf, so such a link never closes.
type Modem struct {
	SF   int      // spreading factor, 5 to 12
	BWHz float64  // one of Bandwidths, double-sided
	CR   int      // coding rate 4/(4+CR), 1 to 4
	LDRO LDROMode // low-data-rate optimisation, default LDROAuto
}

// Validate returns every fault of the setting at once, each with the allowed
// range, or nil. Limits of a single chip are left to TimeOnAir.
func (m Modem) Validate() error {
	var errs []error
	if !m.sfValid() {
		errs = append(errs, fault.Range("sf", float64(m.SF), minSF, MaxSF, ""))
	}
	if _, ok := bandwidthDivisor(m.BWHz); !ok {
		errs = append(errs, fault.Found("bw_khz", m.BWHz/1e3, bandwidthLabels()))
	}
	if !m.crValid() {
		errs = append(errs, fault.Found("coding rate", m.CR, fmt.Sprintf("%d to %d, for 4/5 to 4/8", minCR, maxCR)))
	}
	switch {
	case m.LDRO > LDROOff:
		errs = append(errs, fault.Found("low-data-rate optimisation", m.LDRO, "auto, on, off"))
	case m.LDRO == LDROOn && m.SF == 5:
		errs = append(errs, fault.Found("low-data-rate optimisation", "on at SF5", "auto or off: no chip has it there"))
	}
	return errors.Join(errs...)
}

func (m Modem) sfValid() bool { return m.SF >= minSF && m.SF <= MaxSF }
func (m Modem) crValid() bool { return m.CR >= minCR && m.CR <= maxCR }

// symbolUS returns the symbol time in microseconds, exactly, or 0.
func (m Modem) symbolUS() int64 {
	divisor, ok := bandwidthDivisor(m.BWHz)
	if !ok || !m.sfValid() {
		return 0
	}
	return divisor * 2 << m.SF
}

// SymbolS returns the symbol time 2^SF/BW in seconds.
// SX1276 datasheet Rev 4, 4.1.1.6.
func (m Modem) SymbolS() float64 { return float64(m.symbolUS()) / 1e6 }

// LDROOn tells whether low-data-rate optimisation is in force.
func (m Modem) LDROOn() bool {
	return m.LDRO == LDROOn || m.LDRO == LDROAuto && m.symbolUS() >= ldroSymbolUS
}

// BitRate returns the bit rate in bit/s. With low-data-rate optimisation a
// symbol carries SF-2 bits instead of SF; the indicative rates of LoRaWAN for
// SF11 and SF12 at 125 kHz contain that too.
func (m Modem) BitRate() float64 {
	if m.LDROOn() {
		return m.bitRate(m.SF - 2)
	}
	return m.bitRate(m.SF)
}

func (m Modem) bitRate(bitsPerSymbol int) float64 {
	us := m.symbolUS()
	if us == 0 || !m.crValid() {
		return 0
	}
	return float64(4e6*bitsPerSymbol) / float64(int64(4+m.CR)*us)
}

// RequiredSNR returns the signal-to-noise ratio in the LoRa bandwidth that the
// demodulator needs: -2.5 dB at SF5, 2.5 dB less per step, -20 dB at SF12.
// It does not depend on the bandwidth. SX1276 datasheet Rev 4, table 13 (SF6
// to SF12), and SX1261/2 datasheet Rev 1.1, table 6-1 (SF5 to SF12).
func (m Modem) RequiredSNR() radio.DB {
	if !m.sfValid() {
		return 0
	}
	return radio.DB(-2.5 * float64(m.SF-4))
}

// Sensitivity returns the weakest level received at a noise figure:
// kT0B + noise figure + RequiredSNR, with the exact kT0 of ThermalNoise
// (-173.975 dBm/Hz at T0 = 290 K). Texts that round to -174 dBm/Hz print
// 0.025 dB less. Thermal noise only: noise from outside is added by
// NoiseFloor. Published figures scatter by about 1.5 dB around this line,
// most with SF6 and at 500 kHz.
func (m Modem) Sensitivity(noiseFigure radio.DB) radio.DBm {
	if m.symbolUS() == 0 || math.IsNaN(float64(noiseFigure)) || math.IsInf(float64(noiseFigure), 0) {
		return 0
	}
	return ThermalNoise(m.BWHz).Add(noiseFigure + m.RequiredSNR())
}
