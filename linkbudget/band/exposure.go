package band

import (
	"errors"
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget"
)

// ExposureLimit is a limit of power density for the general public.
type ExposureLimit uint8

// ExposureFCC is 47 CFR 1.1310 table 1, general population: f/1500 mW/cm² for
// 300 to 1500 MHz, averaged over 30 minutes; read in a copy of the table.
// ExposureICNIRP is the whole-body reference level of ICNIRP 2020 (Health
// Physics 118:483): f/200 W/m² for 400 to 2000 MHz, averaged over 30 minutes;
// from memory of the standard.
const (
	ExposureFCC ExposureLimit = iota
	ExposureICNIRP
)

// String returns "FCC" or "ICNIRP".
func (l ExposureLimit) String() string {
	switch l {
	case ExposureFCC:
		return "FCC"
	case ExposureICNIRP:
		return "ICNIRP"
	}
	return fmt.Sprintf("ExposureLimit(%d)", uint8(l))
}

// DensityWPerM2 returns the limit in watts per square metre. An error names
// the range in which the formula holds: 300 to 1500 MHz for the FCC, 400 to
// 2000 MHz for ICNIRP.
func (l ExposureLimit) DensityWPerM2(freqHz float64) (float64, error) {
	var loHz, hiHz, wPerM2PerHz float64
	switch l {
	case ExposureFCC:
		loHz, hiHz, wPerM2PerHz = 300e6, 1500e6, 10.0/1500/1e6 // 1 mW/cm² = 10 W/m²
	case ExposureICNIRP:
		loHz, hiHz, wPerM2PerHz = 400e6, 2000e6, 1.0/200/1e6
	default:
		return 0, fmt.Errorf("exposure limit: found %v, allowed FCC, ICNIRP", l)
	}
	if !(freqHz >= loHz && freqHz <= hiHz) {
		return 0, fmt.Errorf("exposure limit of %v: found %g MHz, allowed %g to %g MHz", l, freqHz/1e6, loHz/1e6, hiHz/1e6)
	}
	return freqHz * wPerM2PerHz, nil
}

// Reflection factors of power density off the ground.
const (
	ReflectionOET65   = 2.56 // field times 1.6, FCC OET Bulletin 65
	ReflectionPerfect = 4    // field doubled
)

// Emission is what an antenna radiates in its main beam.
type Emission struct {
	EIRP   linkbudget.DBm // -60 to 90
	FreqHz float64
	// Duty is the share of the busiest 30 minutes spent transmitting, above 0
	// to 1; 0 means 1. A duty cycle counted over an hour may all fall into one
	// half of it: then double it.
	Duty float64
	// Reflection multiplies the power density, 1 to 4; 0 means 1, none.
	Reflection float64
}

// LeastDistanceM is the least distance worth stating: nearer than about a
// wavelength the far-field formula does not hold, and 20 cm is the usual
// figure for equipment that is not carried on the body. AdvisedDistanceM is
// prudent for a small node. Common practice, from memory.
const (
	LeastDistanceM   = 0.2
	AdvisedDistanceM = 0.5
)

// ExposureDistance returns the distance in metres at which the average power
// density has fallen to the limit:
//
//	S = Reflection Duty EIRP/(4 pi d²),  d = sqrt(Reflection Duty EIRP/(4 pi S))
//
// with EIRP in watts: the far field in the main beam. It is the bare figure;
// below LeastDistanceM it is not to be relied on. Errors name every value out
// of range at once.
func ExposureDistance(l ExposureLimit, e Emission) (float64, error) {
	limit, err := l.DensityWPerM2(e.FreqHz)
	errs := []error{err}
	duty, reflection := e.Duty, e.Reflection
	if duty == 0 {
		duty = 1
	}
	if reflection == 0 {
		reflection = 1
	}
	if !(e.EIRP >= -60 && e.EIRP <= 90) {
		errs = append(errs, fmt.Errorf("eirp: found %g, allowed -60 to 90 dBm", e.EIRP))
	}
	if !(duty > 0 && duty <= 1) {
		errs = append(errs, fmt.Errorf("duty: found %g, allowed above 0 to 1", e.Duty))
	}
	if !(reflection >= 1 && reflection <= 4) {
		errs = append(errs, fmt.Errorf("reflection: found %g, allowed 1 to 4", e.Reflection))
	}
	if err := errors.Join(errs...); err != nil {
		return 0, err
	}
	return math.Sqrt(reflection * duty * e.EIRP.MilliW() / 1e3 / (4 * math.Pi * limit)), nil
}

// ExposureLine returns one line of advice from both limits, the larger of the
// two distances rounded up to a tenth of a metre and at least
// AdvisedDistanceM. Errors as for ExposureDistance: outside 400 to 1500 MHz
// one of the formulas does not hold.
func ExposureLine(e Emission) (string, error) {
	fccM, fccErr := ExposureDistance(ExposureFCC, e)
	icnirpM, icnirpErr := ExposureDistance(ExposureICNIRP, e)
	if fccErr != nil {
		return "", fccErr
	}
	if icnirpErr != nil {
		return "", icnirpErr
	}
	keepM := max(AdvisedDistanceM, math.Ceil(max(fccM, icnirpM)*10-1e-9)/10)
	return fmt.Sprintf("Radio: stay %.1f m from the antenna while it transmits %.1f dBm EIRP (far-field limit for the public: FCC %.2f m, ICNIRP 2020 %.2f m; check locally).",
		keepM, e.EIRP, fccM, icnirpM), nil
}
