package linkbudget

import (
	"errors"
	"fmt"
)

// Environment is what both ends of a path share: the channel, the modem and
// the air between them.
type Environment struct {
	// FreqHz is the carrier frequency; 100 MHz to 3 GHz.
	FreqHz float64
	// Modem holds spreading factor, bandwidth and coding rate.
	Modem Modem
	// K is the effective earth radius factor of the verdict, 0.5 to 10; 0 means 4/3.
	K float64
	// PessimisticK is the factor at which the path is computed again; 0 means
	// 2/3 on paths over 20 km and 1 below.
	PessimisticK float64
	// Polarisation of both antennas; the zero value is vertical.
	Polarisation Polarisation
	// SurfaceRefractivity is N0 at sea level, N-units, 250 to 450; 0 means 325,
	// a mid-latitude mean. Only troposcatter uses it.
	SurfaceRefractivity float64
	// SolidMarginDB is the margin from which a link is said to reach; 0 means
	// DefaultSolidMarginDB; otherwise up to 60 dB.
	SolidMarginDB DB
}

// Frequency limits of the models as used here, Hz.
const (
	MinFreqHz = 100e6
	MaxFreqHz = 3000e6
)

// DefaultSolidMarginDB separates a link that reaches from a marginal one. It
// is a rule of thumb of the trade for fixed paths (6 to 10 dB usable, above
// 10 dB solid), common practice rather than a standard.
const DefaultSolidMarginDB DB = 10

// Validate lists every field out of its range, with the range.
func (e Environment) Validate() error {
	var errs []error
	check := func(key string, v, low, high float64, unit string) {
		if !(v >= low && v <= high) {
			errs = append(errs, fmt.Errorf("%s: found %g, allowed %g to %g%s", key, v, low, high, unit))
		}
	}
	check("freq_mhz", e.FreqHz/1e6, MinFreqHz/1e6, MaxFreqHz/1e6, " MHz")
	if e.K != 0 {
		check("k", e.K, 0.5, 10, "")
	}
	if e.PessimisticK != 0 {
		check("pessimistic_k", e.PessimisticK, 0.5, 10, "")
	}
	if e.SurfaceRefractivity != 0 {
		check("surface_refractivity", e.SurfaceRefractivity, 250, 450, " N-units")
	}
	check("solid_margin_db", float64(e.SolidMarginDB), 0, 60, " dB")
	if e.Polarisation > Horizontal {
		errs = append(errs, fmt.Errorf("polarisation: found %d, allowed vertical or horizontal", e.Polarisation))
	}
	return errors.Join(append(errs, e.Modem.Validate())...)
}

// withDefaults replaces each zero that stands for a default.
func (e Environment) withDefaults(distM float64) Environment {
	if e.K == 0 {
		e.K = KMedian
	}
	if e.PessimisticK == 0 {
		e.PessimisticK = KConservative
		if distM > subRefractionFromM {
			e.PessimisticK = KSubRefraction
		}
	}
	if e.SurfaceRefractivity == 0 {
		e.SurfaceRefractivity = 325
	}
	if e.SolidMarginDB == 0 {
		e.SolidMarginDB = DefaultSolidMarginDB
	}
	return e
}

// subRefractionFromM is the path length from which k = 2/3 is the pessimistic
// case; on shorter paths a layer that bends rays upwards all the way is rare.
// Engineering judgement.
const subRefractionFromM = 20e3
