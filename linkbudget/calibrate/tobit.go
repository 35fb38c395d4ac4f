package calibrate

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// observation is what one direction of a path says of the difference d between the level
// that arrives and the predicted one, dB.
type observation struct {
	from, to int
	mean     float64 // of the packets heard, less the prediction
	weight   float64 // 1/variance of the mean; 0 for none heard
	lost     float64 // packets not heard, as independent ones
	limit    float64 // d at which half of the packets would be lost
	width    float64 // standard deviation of the packets
}

// otherLosses is the share of packets lost for reasons other than their level: collisions, a
// receiver that was sending (practice). It keeps a strong link's losses from counting
// against its level.
const otherLosses = 0.1

// likelihood returns the logarithm of that of d, its slope, and its curvature with the sign
// turned, not below 0: normal for what was heard; a lost packet was below the limit (Tobin
// 1958), or lost otherwise.
func (o *observation) likelihood(d float64) (log, slope, curvature float64) {
	off := d - o.mean
	log, slope, curvature = -o.weight*off*off/2, -o.weight*off, o.weight
	if !(o.lost > 0) {
		return log, slope, curvature
	}
	x := (o.limit - d) / o.width
	density := math.Exp(-x*x/2) / math.Sqrt(2*math.Pi)
	chance := otherLosses + (1-otherLosses)*radio.Phi(x)
	u := (1 - otherLosses) * density / chance
	log += o.lost * math.Log(chance)
	slope -= o.lost * u / o.width
	curvature = max(curvature+o.lost*u*(x+u)/(o.width*o.width), 0)
	return log, slope, curvature
}

// censoredMoments are the mean and the standard deviation of a normal of which n values
// with this mean and variance were seen and lost more lie below a limit: expectation and
// maximisation (Dempster, Laird and Rubin, J. R. Stat. Soc. B 39 (1977) 1, from memory).
func censoredMoments(n, mean, variance, lost, limit float64) (mu, sigma float64) {
	mu, sigma = mean, math.Sqrt(max(variance, leastWidthDB*leastWidthDB))
	for range 60 {
		x := (limit - mu) / sigma
		ratio := math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) / max(radio.Phi(x), 1e-12)
		below := mu - sigma*ratio
		belowVar := sigma * sigma * max(1-x*ratio-ratio*ratio, 1e-3)
		next := (n*mean + lost*below) / (n + lost)
		square := (n*(variance+(mean-next)*(mean-next)) + lost*(belowVar+(below-next)*(below-next))) / (n + lost)
		mu, sigma = next, math.Sqrt(max(square, leastWidthDB*leastWidthDB))
	}
	return mu, sigma
}

// Standard deviations of packets about the median of their link: no less, since reports come
// in whole decibels and radios differ from packet to packet; and what stands for it where
// few packets tell (between the 1 and 4 dB that open sets show within hours and weeks).
const (
	leastWidthDB = 1.0
	usualWidthDB = 2.5
)
