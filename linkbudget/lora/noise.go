package lora

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

const (
	// boltzmannJPerK is exact, SI 2019.
	boltzmannJPerK = 1.380649e-23
	// noiseReferenceK is T0, the temperature noise figures refer to (IEEE).
	noiseReferenceK = 290
)

// kT0 is the thermal noise density at 290 K: -173.975 dBm/Hz.
var kT0 = 10 * math.Log10(boltzmannJPerK*noiseReferenceK*1e3)

// ThermalNoise returns kT0B, the thermal noise at 290 K in a bandwidth in
// hertz. A bandwidth that is not a positive, finite number gives 0 dBm, a
// noise under which no link closes.
func ThermalNoise(bwHz float64) radio.DBm {
	if !(bwHz > 0) || math.IsInf(bwHz, 1) {
		return 0
	}
	return radio.DBm(kT0 + 10*math.Log10(bwHz))
}

// NoiseFloor returns the noise at the receiver input in a bandwidth in hertz:
// ThermalNoise, raised by the receiver's noise figure and by the rise that
// noise from outside causes over it (SystemNoise.Rise, or measured).
func NoiseFloor(bwHz float64, noiseFigure, rise radio.DB) radio.DBm {
	return ThermalNoise(bwHz).Add(noiseFigure + rise)
}

// Desensitisation returns by how much an interference raises the noise floor,
// 10 log(1 + i/n), for its level over that floor in decibels. Any finite level
// gives a finite answer, above 0.
func Desensitisation(overNoise radio.DB) radio.DB {
	// log(1+x) = log(x) + log(1+1/x): a large x cannot overflow.
	if overNoise > 0 {
		return overNoise + Desensitisation(-overNoise)
	}
	return radio.DB(10 / math.Ln10 * math.Log1p(overNoise.Ratio()))
}

// SystemNoise describes what a receiver hears besides the signal.
type SystemNoise struct {
	// noise at a lossless antenna over kT0B, F_a of ITU-R P.372;
	// less than 0 counts as 0, surroundings at 290 K
	ExternalDB    radio.DB
	FeederLossDB  radio.DB // between antenna and receiver, at 290 K, 0 or more
	NoiseFigureDB radio.DB // of the receiver, 0 or more
}

// Figure returns the noise figure of the whole, referred to the antenna:
// 10 log(f_a + l f_r - 1). ITU-R P.372, system noise at the reference
// temperature.
func (s SystemNoise) Figure() radio.DB {
	return radio.DB(10 * math.Log10(max(s.ExternalDB, 0).Ratio()-1+(s.FeederLossDB+s.NoiseFigureDB).Ratio()))
}

// Rise returns by how much the external noise lifts the noise floor over that
// of receiver and feeder alone. It is the same at the antenna and at the
// receiver input: a feeder loss weakens external noise and signal alike.
func (s SystemNoise) Rise() radio.DB { return s.Figure() - s.FeederLossDB - s.NoiseFigureDB }

// External noise at 865 to 928 MHz by surroundings, decibels over kT0B, for
// SystemNoise.ExternalDB. Engineering judgement: the business curve for a
// city, about 4 dB less in a suburb, and in the country what surroundings at
// 290 K give, for which the figure is 0 and never less. Roofs beside a mobile
// phone mast are 10 to 20 dB worse, and not noise-like.
const (
	ExternalNoiseCity   radio.DB = 8
	ExternalNoiseSuburb radio.DB = 4
	ExternalNoiseRural  radio.DB = 0
)
