package fading

import "math"

// RiceDensity returns the probability density at r of the envelope |s + n| of
// a steady wave of amplitude s in complex Gaussian noise n of unit mean power:
//
//	2 r exp(-(r^2 + s^2)) I0(2 r s)
//
// (Rice 1945; Proakis, Digital Communications, 2.1-4.) Written with the scaled
// Bessel function, so that no factor overflows. It serves twice: noise on a
// symbol, and scattered waves on a direct one.
func RiceDensity(r, s float64) float64 {
	return 2 * r * math.Exp(-(r-s)*(r-s)) * besselI0Scaled(2*r*s)
}

// riceReach is the distance from s beyond which the density holds less than
// 1e-18 of the probability.
const riceReach = 6.5

// besselI0Scaled returns exp(-x) I0(x) for x >= 0, to about 1e-14 of its value.
// Below 16 by the power series, whose terms are all positive (Abramowitz and
// Stegun 9.6.12), above by the asymptotic one (9.7.1), whose smallest term is
// there exp(-2x) = 1e-14.
func besselI0Scaled(x float64) float64 {
	sum, term := 1.0, 1.0
	if x < 16 {
		quarter := x * x / 4
		for k := 1.0; term > 1e-17*sum; k++ {
			term *= quarter / (k * k)
			sum += term
		}
		return math.Exp(-x) * sum
	}
	for k := 1.0; term > 1e-17 && k < 2*x; k++ {
		term *= (2*k - 1) * (2*k - 1) / (8 * k * x)
		sum += term
	}
	return sum / math.Sqrt(2*math.Pi*x)
}

// Nodes and weights of the ten-point Gauss-Legendre rule on -1..1, the positive
// half (Abramowitz and Stegun, table 25.4).
var (
	legendreNodes = [5]float64{0.148874338981631211, 0.433395394129247191, 0.679409568299024406, 0.865063366688984511,
		0.973906528517171720}
	legendreWeights = [5]float64{0.295524224714752870, 0.269266719309996355, 0.219086362515982044, 0.149451349150580593,
		0.066671344308688138}
)

// GaussLegendre integrates f from lo to hi, in equal panels no wider than
// panel. It returns 0 where hi is not above lo, and NaN where that takes more than a million
// panels. Without f it panics.
func GaussLegendre(f func(float64) float64, lo, hi, panel float64) float64 {
	if !(hi > lo) {
		return 0
	}
	wanted := math.Ceil((hi - lo) / panel)
	if !(wanted >= 0 && wanted <= 1e6) {
		return math.NaN()
	}
	panels := max(int(wanted), 1)
	half := (hi - lo) / float64(2*panels)
	var sum float64
	for i := range panels {
		middle := lo + half*float64(2*i+1)
		for j, node := range legendreNodes {
			sum += legendreWeights[j] * (f(middle-half*node) + f(middle+half*node))
		}
	}
	return sum * half
}
