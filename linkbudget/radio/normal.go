package radio

import (
	"math"

	"github.com/polereach/polereach/terrain/fault"
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
		return 0, fault.Found("share of a normal distribution", p, "1e-15 to 1 - 1e-15")
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
