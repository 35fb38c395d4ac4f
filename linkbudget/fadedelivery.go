package linkbudget

import (
	"errors"
	"fmt"
	"math"
)

// fadeStepDB is the widest step of the average over fades. A waterfall is some
// 3 dB wide and a Rayleigh density 6 dB: sums at even steps over such smooth
// curves are exact to rounding.
const fadeStepDB = 0.25

// average returns the mean over the fades of g, a function of the instantaneous
// power over its mean, in decibels. g must not bend more sharply than within
// stepDB. The weights are divided by their sum, so that a mean of values
// between 0 and 1 lies between them. Fades too deep to count, 1e-9 of the time
// in all, are left out.
func (f Fading) average(stepDB float64, g func(fade DB) float64) float64 {
	k := f.k()
	s := math.Sqrt(k)
	unit := math.Sqrt(1 + k) // envelope at the mean power
	stepDB = min(stepDB, 2/max(s, 1))
	topDB := 20 * math.Log10((s+riceReach)/unit)
	var sum, weights float64
	for i := 0; ; i++ {
		fade := topDB - stepDB*float64(i)
		envelope := unit * math.Pow(10, fade/20)
		// Density over the logarithm of the power: half of envelope x density. In
		// the deep tail it is also the probability of all that lies deeper.
		weight := envelope / 2 * riceDensity(envelope, s)
		if weight < 1e-9 && fade < 0 {
			return sum / weights
		}
		sum += weight * g(DB(fade))
		weights += weight
	}
}

// Delivery returns the share of packets that arrive, 0 to 1: a packet error
// rate over the signal-to-noise ratio, averaged over the fades about a mean
// ratio. per is Waterfall.PER or another smooth curve; it is held to 0..1, and
// NaN counts as lost. With a waterfall in place of a hard threshold the
// threshold lies 1.5 to 2 dB under the 1 % point.
//
// A refused fading law or a mean that is NaN gives 0.
func Delivery(per func(snr DB) float64, meanSNR DB, fading Fading) float64 {
	return deliveryInSteps(per, meanSNR, fading, fadeStepDB)
}

func deliveryInSteps(per func(snr DB) float64, meanSNR DB, fading Fading, stepDB float64) float64 {
	if fading.Validate() != nil || math.IsNaN(float64(meanSNR)) {
		return 0
	}
	arrives := func(fade DB) float64 {
		if lost := per(meanSNR + fade); lost < 1 {
			return 1 - max(lost, 0)
		}
		return 0
	}
	if fading.Kind == FadingNone {
		return arrives(0)
	}
	return fading.average(stepDB, arrives)
}

// Shadowing is a log-normal doubt about the mean level, with fading on top:
// without fading the log-normal law, with Rayleigh the one named after Suzuki
// (1977). Its margins are counted from the median over the doubt of the mean
// power.
type Shadowing struct {
	SigmaDB DB // standard deviation, 0 to 100
	Fading  Fading
}

// Validate returns every fault at once, or nil.
func (s Shadowing) Validate() error {
	err := s.Fading.Validate()
	if !(s.SigmaDB >= 0 && s.SigmaDB <= 100) {
		err = errors.Join(err, fmt.Errorf("standard deviation: found %v dB, allowed 0 to 100", s.SigmaDB))
	}
	return err
}

// leastSigmaDB is the standard deviation below which shadowing is left out: it
// moves no probability by 1e-5.
const leastSigmaDB = 0.01

// Delivery returns the share of packets that arrive over a hard threshold, 0
// to 1, for a margin over it:
//
//	log-normal  Phi(M / sigma)
//	Suzuki      E[exp(-10^(-(M + sigma z)/10))], z standard normal
//
// and as the latter for Rician fading. What Validate refuses and a margin of
// NaN give 0.
func (s Shadowing) Delivery(margin DB) float64 {
	if s.Validate() != nil || math.IsNaN(float64(margin)) {
		return 0
	}
	if s.SigmaDB < leastSigmaDB {
		return 1 - s.Fading.Outage(margin)
	}
	// The order of the averages does not matter; that over the doubt has a
	// closed form.
	lost := func(level DB) float64 { return 0.5 * math.Erfc(float64(level/s.SigmaDB)/math.Sqrt2) }
	return deliveryInSteps(lost, margin, s.Fading, min(fadeStepDB, float64(s.SigmaDB)))
}

// Margin returns the margin that delivers a share of the packets, 1e-6 to
// 1-1e-6: the inverse of Delivery.
func (s Shadowing) Margin(delivery float64) (DB, error) {
	err := s.Validate()
	if !(delivery >= 1e-6 && delivery <= 1-1e-6) {
		err = errors.Join(err, fmt.Errorf("delivery: found %v, allowed 1e-6 to 1-1e-6", delivery))
	}
	if err != nil {
		return 0, fmt.Errorf("margin for shadowing: %w", err)
	}
	if s.Fading.Kind == FadingNone {
		return s.SigmaDB * DB(math.Sqrt2*math.Erfinv(2*delivery-1)), nil
	}
	return marginFor(func(m DB) float64 { return 1 - s.Delivery(m) }, 1-delivery), nil
}
