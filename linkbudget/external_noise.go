package linkbudget

import (
	"fmt"
	"math"
)

// ManMadeNoise is a curve of the median man-made noise that ITU-R P.372
// states, F_am = c - d log(f in MHz), in decibels over kT0B at a lossless
// antenna.
type ManMadeNoise struct {
	Name   string
	C, D   float64 // dB
	LowHz  float64 // the curve holds from here
	HighHz float64 // to here
	Source string  // where it stands
}

// ManMadeNoiseCurves returns the curves. Only "business" reaches up to the
// sub-gigahertz bands; drawn on from 250 MHz, the others fall below 0 dB.
func ManMadeNoiseCurves() []ManMadeNoise {
	const source = "ITU-R P.372, man-made noise"
	return []ManMadeNoise{
		{"city", 76.8, 27.7, 0.3e6, 250e6, source},
		{"residential", 72.5, 27.7, 0.3e6, 250e6, source},
		{"rural", 67.2, 27.7, 0.3e6, 250e6, source},
		{"quiet rural", 53.6, 28.6, 0.3e6, 250e6, source},
		{"business", 44.3, 12.3, 200e6, 900e6, source},
	}
}

// Median returns the median noise at a frequency in hertz, for
// SystemNoise.ExternalDB, or an error outside the range of the curve.
func (c ManMadeNoise) Median(freqHz float64) (DB, error) {
	if !(freqHz >= c.LowHz && freqHz <= c.HighHz) {
		return 0, fmt.Errorf("man-made noise %q at %v MHz, the curve holds from %v to %v MHz", c.Name, freqHz/1e6, c.LowHz/1e6, c.HighHz/1e6)
	}
	return DB(c.C - c.D*math.Log10(freqHz/1e6)), nil
}

// External noise at 865 to 928 MHz by surroundings, decibels over kT0B, for
// SystemNoise.ExternalDB. Engineering judgement: the business curve for a
// city, about 4 dB less in a suburb, and in the country what surroundings at
// 290 K give, for which the figure is 0 and never less. Roofs beside a mobile
// phone mast are 10 to 20 dB worse, and not noise-like.
const (
	ExternalNoiseCity   DB = 8
	ExternalNoiseSuburb DB = 4
	ExternalNoiseRural  DB = 0
)
