package diffraction

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// dbPerNeper is 20 log10(e): decibels in one natural unit of amplitude.
const dbPerNeper = 20 * math.Log10E

// knifeEdgeZeroNu is where the approximation of J(ν) is cut to zero.
const knifeEdgeZeroNu = -0.78

// KnifeEdge returns the loss J(ν) over one knife edge by the usual
// approximation, ITU-R P.526-15 §4.1 (eq 31):
//
//	J(ν) = 6.9 + 20 log10( sqrt((ν-0.1)²+1) + ν - 0.1 )  for ν > -0.78, else 0
//
// It stays within 0.13 dB of [KnifeEdgeExact] for -0.7 <= ν <= 10. ν has no
// unit, is negative where the edge lies below the direct ray, and any finite
// value is allowed. The loss is never negative.
func KnifeEdge(nu float64) radio.DB {
	if nu <= knifeEdgeZeroNu {
		return 0
	}
	v := nu - 0.1
	if v > 1e8 {
		return radio.DB(6.9 + dbPerNeper*(math.Log(v)+math.Ln2)) // v² could overflow
	}
	return radio.DB(6.9 + dbPerNeper*math.Log(math.Sqrt(v*v+1)+v))
}

// KnifeEdgeExact returns the loss over one thin absorbing screen from the
// Fresnel integrals, ITU-R P.526-15 §4.1 (eq 30):
//
//	J(ν) = -20 log10( sqrt((1-C(ν)-S(ν))² + (C(ν)-S(ν))²) / 2 )
//
// Far below the ray it swings around zero by a fraction of a decibel, so small
// negative values (a gain) are right. Accuracy 1e-10 dB for any finite ν.
func KnifeEdgeExact(nu float64) radio.DB {
	if nu > fresnelSeriesMax {
		// In the shadow 1-C-S and C-S both vanish; with the auxiliary functions
		// (A&S 7.3.9-10) the sum of their squares is 2(f²+g²), no cancellation.
		f, g := fresnelAuxiliary(nu)
		return radio.DB(-20 * math.Log10(math.Hypot(f, g)/math.Sqrt2))
	}
	c, s := fresnelIntegrals(nu)
	return radio.DB(-20 * math.Log10(math.Hypot(1-c-s, c-s)/2))
}

// Edge is one knife edge between two antennas.
type Edge struct {
	HeightM     float64 // edge above the straight line between the antennas, negative below
	D1M, D2M    float64 // distance to either antenna along the line, above 0
	WavelengthM float64 // above 0
}

// Nu returns the dimensionless diffraction parameter of the edge,
// ν = h sqrt( (2/λ)(1/d1 + 1/d2) ); ITU-R P.526-15 §4.1 (eq 26).
func (e Edge) Nu() float64 {
	return e.HeightM * math.Sqrt(2/e.WavelengthM*(1/e.D1M+1/e.D2M))
}
