package reflection

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// RippleSigma returns the standard deviation in dB of the sum of a ray of
// strength 1 and one of strength rho with unknown phase:
// (20/ln 10) sqrt(Li2(rho^2)/2).
//
// It follows from the Fourier series ln|1+rho e^(j phi)| = sum of
// -(-rho)^n cos(n phi)/n. The same series has mean 0: for rho up to 1 free
// space is the right middle, and the reflection belongs in the doubt. A rho
// above 1, the reflected ray stronger, spreads like 1/rho about 20 log rho.
func RippleSigma(rho float64) radio.DB {
	rho = math.Abs(rho)
	if rho > 1 {
		rho = 1 / rho
	}
	return radio.DB(20 / math.Ln10 * math.Sqrt(dilogarithm(rho*rho)/2))
}

// RippleExtremes returns the deepest null and the highest peak of that sum
// against the direct ray alone, 20 log|1 -+ rho|. The null of two equal rays is
// cut at -120 dB.
func RippleExtremes(rho float64) (null, peak radio.DB) {
	rho = math.Abs(rho)
	return fieldDB(math.Abs(1 - rho)), fieldDB(1 + rho)
}

// dilogarithm returns Li2(x) = sum of x^n/n^2 for x from 0 to 1. Above 1/2
// Euler's reflection, Li2(x) + Li2(1-x) = pi^2/6 - ln x ln(1-x), keeps the
// series short.
func dilogarithm(x float64) float64 {
	if x >= 1 {
		return math.Pi * math.Pi / 6
	}
	if x > 0.5 {
		return math.Pi*math.Pi/6 - math.Log(x)*math.Log1p(-x) - dilogarithm(1-x)
	}
	sum, power := 0.0, x
	for n := 1.0; power > 1e-17*n*n; n++ {
		sum += power / (n * n)
		power *= x
	}
	return sum
}
