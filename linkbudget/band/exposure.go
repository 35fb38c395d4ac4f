package band

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// ExposureLimit is a limit of power density for the general public.
type ExposureLimit uint8

// ExposureFCC is 47 CFR 1.1310 table 1, general population: f/1500 mW/cm² for 300 to 1500 MHz,
// averaged over 30 minutes; read in a copy of the table. ExposureICNIRP is the whole-body reference
// level of ICNIRP 2020 (Health Physics 118:483): f/200 W/m² for 400 to 2000 MHz, averaged over 30
// minutes; from memory of the standard.
const (
	ExposureFCC ExposureLimit = iota
	ExposureICNIRP
)

// exposureLimits holds the names, and the frequencies between which a limit is so many W/m² per hertz.
var exposureLimits = [...]struct {
	name                   string
	loHz, hiHz, perM2PerHz float64
}{
	ExposureFCC:    {"FCC", 300e6, 1500e6, 10.0 / 1500 / 1e6}, // 1 mW/cm² = 10 W/m²
	ExposureICNIRP: {"ICNIRP", 400e6, 2000e6, 1.0 / 200 / 1e6},
}

// String returns "FCC" or "ICNIRP".
func (l ExposureLimit) String() string {
	if int(l) < len(exposureLimits) {
		return exposureLimits[l].name
	}
	return fmt.Sprintf("ExposureLimit(%d)", uint8(l))
}

// DensityWPerM2 returns the limit in watts per square metre. An error names
// the range in which the formula holds: 300 to 1500 MHz for the FCC, 400 to
// 2000 MHz for ICNIRP.
func (l ExposureLimit) DensityWPerM2(freqHz float64) (float64, error) {
	if int(l) >= len(exposureLimits) {
		return 0, fault.Found("exposure limit", l, "FCC, ICNIRP")
	}
	of := exposureLimits[l]
	if !(freqHz >= of.loHz && freqHz <= of.hiHz) {
		return 0, fault.Input("exposure limit of %v: found %g MHz, allowed %g to %g MHz",
			l, freqHz/1e6, of.loHz/1e6, of.hiHz/1e6)
	}
	return freqHz * of.perM2PerHz, nil
}

// AdvisedDistanceM is prudent for a small node. Common practice, from memory.
const AdvisedDistanceM = 0.5

// ExposureDistance returns the distance in metres at which the power density of an EIRP of
// -60 to 90 dBm, sent all the time, has fallen to the limit:
//
//	S = EIRP/(4 pi d²),  d = sqrt(EIRP/(4 pi S))
//
// with EIRP in watts: the far field in the main beam. It is the bare figure; nearer than
// about a wavelength it is not to be relied on. Errors name every value out of range at
// once.
func ExposureDistance(l ExposureLimit, eirp radio.DBm, freqHz float64) (float64, error) {
	limit, err := l.DensityWPerM2(freqHz)
	if !(eirp >= -60 && eirp <= 90) {
		err = errors.Join(err, fault.Found("eirp_dbm", eirp, "-60 to 90 dBm"))
	}
	if err != nil {
		return 0, err
	}
	return math.Sqrt(eirp.MilliW() / 1e3 / (4 * math.Pi * limit)), nil
}

// ExposureLine returns one line of advice from both limits, the larger of the
// two distances rounded up to a tenth of a metre and at least
// AdvisedDistanceM. Errors as for ExposureDistance: outside 400 to 1500 MHz
// one of the formulas does not hold.
func ExposureLine(eirp radio.DBm, freqHz float64) (string, error) {
	fccM, fccErr := ExposureDistance(ExposureFCC, eirp, freqHz)
	icnirpM, icnirpErr := ExposureDistance(ExposureICNIRP, eirp, freqHz)
	if err := cmp.Or(fccErr, icnirpErr); err != nil {
		return "", err
	}
	keepM := max(AdvisedDistanceM, math.Ceil(max(fccM, icnirpM)*10-1e-9)/10)
	return fmt.Sprintf("Radio exposure: stay %.1f m from the antenna while it transmits %.1f dBm EIRP (far-field "+
		"limit for the public: FCC %.2f m, ICNIRP 2020 %.2f m; check locally).",
		keepM, eirp, fccM, icnirpM), nil
}
