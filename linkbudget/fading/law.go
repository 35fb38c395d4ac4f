package fading

import (
	"errors"
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// Kind is the law by which the received power scatters about its mean
// while nothing on the map changes: people, leaves and vehicles moving the
// waves that add up at the antenna. A packet is taken to be shorter than a
// fade, as between fixed stations.
type Kind uint8

// None, the zero value, is a steady signal. Rician is a direct
// wave with scattered ones, Rayleigh scattered waves alone.
const (
	None Kind = iota
	Rician
	Rayleigh
)

// String returns "none", "rician" or "rayleigh".
func (k Kind) String() string {
	switch k {
	case None:
		return "none"
	case Rician:
		return "rician"
	case Rayleigh:
		return "rayleigh"
	}
	return fmt.Sprintf("FadingKind(%d)", uint8(k))
}

// Limits of the Rician factor: at the ends the law is Rayleigh's to 1e-6, and
// a signal steady to 0.01 dB.
const minRicianKDB, maxRicianKDB = -60, 60

// Law is a law of small-scale fading. Margins are counted from the mean
// power, in decibels over what the receiver needs.
//
// Its methods expect a law that Validate accepts. For one that it refuses they
// count every packet as lost.
type Law struct {
	Kind Kind
	KDB  radio.DB // Rician factor, direct over scattered power, -60 to 60; other kinds ignore it, but for NaN
}

// Validate returns every fault of the law at once, or nil.
func (f Law) Validate() error {
	if math.IsNaN(float64(f.KDB)) || math.IsInf(float64(f.KDB), 0) {
		return fault.Range("rician factor", float64(f.KDB), minRicianKDB, maxRicianKDB, "dB")
	}
	switch f.Kind {
	case None, Rayleigh:
		return nil
	case Rician:
		return fault.Range("rician factor", float64(f.KDB), minRicianKDB, maxRicianKDB, "dB")
	}
	return fault.Found("fading", f.Kind, "none, rician, rayleigh")
}

// k returns the Rician factor as a ratio, 0 for Rayleigh.
func (f Law) k() float64 {
	if f.Kind == Rayleigh {
		return 0
	}
	return f.KDB.Ratio()
}

// Outage returns the share of the time in which the signal is below what is
// needed, 0 to 1, for a margin of the mean over it; a negative margin is
// allowed, NaN gives 1.
//
//	Rayleigh  1 - exp(-10^(-M/10))
//	Rician    1 - Q1(sqrt(2K), sqrt(2 (1+K) 10^(-M/10)))    Marcum Q, order 1
//
// Parsons, The Mobile Radio Propagation Channel, ch. 5; Proakis 2.1-4.
func (f Law) Outage(margin radio.DB) float64 {
	if f.Validate() != nil || math.IsNaN(float64(margin)) {
		return 1
	}
	x := (-margin).Ratio() // of the mean power
	switch {
	case f.Kind == Rayleigh:
		return -math.Expm1(-x)
	case f.Kind == Rician:
		k := f.k()
		return riceBelow(math.Sqrt((1+k)*x), math.Sqrt(k))
	case margin < 0:
		return 1
	}
	return 0
}

// riceBelow returns the probability that the envelope of riceDensity is below
// b: 1 - Q1(s sqrt 2, b sqrt 2). It integrates the smaller side, so that
// outages far below 1e-9 keep their digits.
func riceBelow(b, s float64) float64 {
	density := func(r float64) float64 { return RiceDensity(r, s) }
	if b > s {
		if b > s+riceReach {
			return 1
		}
		return max(0, 1-GaussLegendre(density, b, s+riceReach, 1))
	}
	return GaussLegendre(density, max(0, b-riceReach), b, 1)
}

// Margin returns the margin of the mean power that delivers a share of the
// packets, 1e-9 to 1-1e-9, taking the receiver for a hard threshold. It is the
// inverse of Outage.
func (f Law) Margin(delivery float64) (radio.DB, error) {
	if err := errors.Join(f.Validate(), fault.Range("delivery", delivery, 1e-9, 1-1e-9, "")); err != nil {
		return 0, fmt.Errorf("fade margin: %w", err)
	}
	switch f.Kind {
	case Rayleigh:
		return radio.DB(-10 * math.Log10(-math.Log(delivery))), nil
	case Rician:
		lo, hi := radio.DB(-1000), radio.DB(1000) // to 1e-7 dB
		for range 35 {
			if mid := (lo + hi) / 2; f.Outage(mid) > 1-delivery {
				lo = mid
			} else {
				hi = mid
			}
		}
		return (lo + hi) / 2, nil
	}
	return 0, nil
}
