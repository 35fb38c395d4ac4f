package linkbudget

import (
	"errors"
	"fmt"
	"math"
)

// Phi returns the share of a normal distribution below x standard deviations:
// 0.5 at 0, 0.9 at 1.2816. Of a margin over its doubt it is the probability
// that the link closes.
func Phi(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }

// leastQuantile bounds NormalQuantile: nearer to 0 or 1 the numbers end.
const leastQuantile = 1e-15

// NormalQuantile returns how many standard deviations from the mean the share
// p of a normal distribution ends, the inverse of [Phi]; p from 1e-15 to
// 1 - 1e-15, other values give an error. Accurate to 1e-9 and better, where
// the approximation of ITU-R P.1812 for its I(x) is good to 0.0005.
func NormalQuantile(p float64) (float64, error) {
	if !(p >= leastQuantile && p <= 1-leastQuantile) {
		return 0, fmt.Errorf("share of a normal distribution %v, allowed 1e-15 to 1 - 1e-15", p)
	}
	return normalQuantile(p), nil
}

// normalQuantile is NormalQuantile for a checked p.
func normalQuantile(p float64) float64 {
	if p > 0.5 {
		return -normalQuantile(1 - p)
	}
	z := math.Sqrt2 * math.Erfinv(2*p-1)
	// 2p-1 has lost digits of a small p; one step of Halley's method on Phi, whose
	// lower tail is exact, brings them back.
	density := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
	step := (Phi(z) - p) / density
	return z - step/(1+z*step/2)
}

// LocationVariability is the spread of the loss between places inside one cell
// of a prediction over terrain, ITU-R P.1812-6 §4.8. At a surveyed antenna it
// is nothing: what is left there is the error of the model.
type LocationVariability struct {
	FreqHz  float64 // 30 MHz to 6 GHz
	CellM   float64 // side w_a of the square cell, 50 to 1000 m
	HeightM float64 // antenna above ground, 0 to 3000 m
	TopM    float64 // height R of the clutter around it, 0 to 100 m
}

// Sigma returns sigma_L = sigma_loc u_h, the standard deviation, or an error
// that lists every field out of range:
//
//	sigma_loc = (0.52 + 0.024 f) w_a^0.28, f in GHz
//
// u_h is 1 for an antenna in the clutter and falls to 0 at 10 m over its top.
func (v LocationVariability) Sigma() (DB, error) {
	var errs []error
	check := func(what string, x, low, high float64, unit string) {
		if !(x >= low && x <= high) {
			errs = append(errs, fmt.Errorf("location variability: %s %v %s, allowed %g to %g", what, x, unit, low, high))
		}
	}
	check("frequency", v.FreqHz, 30e6, 6e9, "Hz")
	check("cell side", v.CellM, 50, 1000, "m")
	check("antenna height", v.HeightM, 0, 3000, "m")
	check("clutter height", v.TopM, 0, clutterTopMaxM, "m")
	if err := errors.Join(errs...); err != nil {
		return 0, err
	}
	aboveTop := min(max(1-(v.HeightM-v.TopM)/10, 0), 1)
	return DB((0.52 + 0.024*v.FreqHz/1e9) * math.Pow(v.CellM, 0.28) * aboveTop), nil
}

// Constants K of [LocationSigmaBroadcast], from memory of ITU-R P.1546 §12.
const (
	LocationKBelowClutter = 1.2 // car roof height in town or suburb
	LocationKRooftop      = 1.0 // near the tops
	LocationKRural        = 0.5
)

// LocationSigmaBroadcast returns the standard deviation between places of
// field-strength prediction without terrain, ITU-R P.1546 §12: K + 1.3 log f,
// f in MHz. k is one of the LocationK constants, 0 to 3; freqHz 30 MHz to 4 GHz.
// At 868 MHz 4.3 to 5.0 dB; planning of digital broadcasting takes 5.5 dB.
func LocationSigmaBroadcast(k, freqHz float64) (DB, error) {
	var errs []error
	if !(k >= 0 && k <= 3) {
		errs = append(errs, fmt.Errorf("location variability: constant K %v, allowed 0 to 3", k))
	}
	if !(freqHz >= 30e6 && freqHz <= 4e9) {
		errs = append(errs, fmt.Errorf("location variability: frequency %v Hz, allowed 3e7 to 4e9 Hz", freqHz))
	}
	if err := errors.Join(errs...); err != nil {
		return 0, err
	}
	return DB(k + 1.3*math.Log10(freqHz/1e6)), nil
}
