package fading

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
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
func (f Law) average(stepDB float64, g func(fade radio.DB) float64) float64 {
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
		weight := envelope / 2 * RiceDensity(envelope, s)
		if weight < 1e-9 && fade < 0 {
			return sum / weights
		}
		sum += weight * g(radio.DB(fade))
		weights += weight
	}
}

// Delivery returns the share of packets that arrive, 0 to 1: a packet error
// rate over the signal-to-noise ratio, averaged over the fades about a mean
// ratio. per is Waterfall.PER or another smooth curve; it is held to 0..1, and
// NaN counts as lost. With a waterfall in place of a hard threshold the
// threshold lies 1.5 to 2 dB under the 1 % point.
//
// Without per it panics. A refused fading law or a mean that is NaN gives 0.
func Delivery(per func(snr radio.DB) float64, meanSNR radio.DB, fading Law) float64 {
	return deliveryInSteps(per, meanSNR, fading, fadeStepDB)
}

func deliveryInSteps(per func(snr radio.DB) float64, meanSNR radio.DB, fading Law, stepDB float64) float64 {
	if fading.Validate() != nil || math.IsNaN(float64(meanSNR)) {
		return 0
	}
	arrives := func(fade radio.DB) float64 {
		if lost := per(meanSNR + fade); lost < 1 {
			return 1 - max(lost, 0)
		}
		return 0
	}
	if fading.Kind == None {
		return arrives(0)
	}
	return fading.average(stepDB, arrives)
}
