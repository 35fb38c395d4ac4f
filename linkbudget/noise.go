package linkbudget

import (
	"errors"
	"fmt"
	"math"
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
func ThermalNoise(bwHz float64) DBm {
	if !(bwHz > 0) || math.IsInf(bwHz, 1) {
		return 0
	}
	return DBm(kT0 + 10*math.Log10(bwHz))
}

// NoiseFloor returns the noise at the receiver input in a bandwidth in hertz:
// ThermalNoise, raised by the receiver's noise figure and by the rise that
// noise from outside causes over it (SystemNoise.Rise, or measured).
func NoiseFloor(bwHz float64, noiseFigure, rise DB) DBm {
	return ThermalNoise(bwHz).Add(noiseFigure + rise)
}

// Desensitisation returns by how much an interference raises the noise floor,
// 10 log(1 + i/n), for its level over that floor in decibels. Any finite level
// gives a finite answer, above 0.
func Desensitisation(overNoise DB) DB {
	// log(1+x) = log(x) + log(1+1/x): a large x cannot overflow.
	if overNoise > 0 {
		return overNoise + Desensitisation(-overNoise)
	}
	return DB(10 / math.Ln10 * math.Log1p(ratio(overNoise)))
}

// Stage is one element of a receiving chain, antenna side first.
type Stage struct {
	NoiseFigureDB DB // 0 to 100 dB
	GainDB        DB // -100 to 100 dB; of the last stage it does not matter
}

// Attenuator returns the stage of a passive loss at 290 K, a feeder or a
// filter: its noise figure is its loss.
func Attenuator(loss DB) Stage { return Stage{NoiseFigureDB: loss, GainDB: -loss} }

// CascadeNoiseFigure returns the noise figure of a chain of stages:
//
//	f = f1 + (f2-1)/g1 + (f3-1)/(g1 g2) + ...
//
// (Friis 1944, linear power ratios.) The result refers to the input of the
// first stage: a feeder counted here is not subtracted from the received level
// again. It refuses an empty chain and noise figures or gains outside
// 0..100 dB and -100..100 dB, all at once.
func CascadeNoiseFigure(stages ...Stage) (DB, error) {
	if len(stages) == 0 {
		return 0, errors.New("noise figure of a chain without stages")
	}
	var errs []error
	noiseFactor, gain := 1.0, 1.0
	for i, s := range stages {
		if !(s.NoiseFigureDB >= 0 && s.NoiseFigureDB <= 100) {
			errs = append(errs, fmt.Errorf("stage %d: noise figure %v dB, allowed 0 to 100", i+1, s.NoiseFigureDB))
		}
		// Only a gain that feeds a further stage matters.
		if i < len(stages)-1 && !(s.GainDB >= -100 && s.GainDB <= 100) {
			errs = append(errs, fmt.Errorf("stage %d: gain %v dB, allowed -100 to 100", i+1, s.GainDB))
		}
		noiseFactor += (ratio(s.NoiseFigureDB) - 1) / gain
		gain *= ratio(s.GainDB)
	}
	if err := errors.Join(errs...); err != nil {
		return 0, err
	}
	return DB(10 * math.Log10(noiseFactor)), nil
}

// SystemNoise describes what a receiver hears besides the signal.
type SystemNoise struct {
	ExternalDB    DB // noise at a lossless antenna over kT0B, F_a of ITU-R P.372; less than 0 counts as 0, surroundings at 290 K
	FeederLossDB  DB // between antenna and receiver, at 290 K, 0 or more
	NoiseFigureDB DB // of the receiver, 0 or more
}

// Figure returns the noise figure of the whole, referred to the antenna:
// 10 log(f_a + l f_r - 1). ITU-R P.372, system noise at the reference
// temperature.
func (s SystemNoise) Figure() DB {
	return DB(10 * math.Log10(ratio(max(s.ExternalDB, 0))-1+ratio(s.FeederLossDB+s.NoiseFigureDB)))
}

// Rise returns by how much the external noise lifts the noise floor over that
// of receiver and feeder alone. It is the same at the antenna and at the
// receiver input: a feeder loss weakens external noise and signal alike.
func (s SystemNoise) Rise() DB { return s.Figure() - s.FeederLossDB - s.NoiseFigureDB }

// ratio turns decibels into a linear power ratio.
func ratio(x DB) float64 { return math.Pow(10, float64(x)/10) }
