package timepercent

import "math"

// Region is what of a path's place decides how often the air bends much.
type Region struct {
	// LatDeg is the latitude of the middle of the path, -90 to 90.
	LatDeg float64
	// LandM is the longest unbroken part of the path over land, InlandM that over ground
	// neither sea nor within 50 km of it and lower than 100 m: d_tm and d_lm, m.
	LandM, InlandM float64
	// SeaFraction is the share of the path over sea, ω, 0 to 1; ACoastM and BCoastM the
	// distances of the coast along the path from both ends, d_ct and d_cr, m.
	SeaFraction      float64
	ACoastM, BCoastM float64
}

// farCoastM stands for a coast that does not count: eq (49) looks at 5 km.
const farCoastM = 500e3

// Inland is the region of a path of which no water is known.
func Inland(latDeg, distM float64) Region {
	return Region{LatDeg: latDeg, LandM: distM, InlandM: distM, ACoastM: farCoastM, BCoastM: farCoastM}
}

// tau is τ of ITU-R P.1812-6 eq (3).
func (r *Region) tau() float64 { return -math.Expm1(-4.12e-4 * math.Pow(r.InlandM/1e3, 2.41)) }

// BetaPercent is β0, the share of time with a lapse of more than 100 N-units/km in the
// lowest 100 m, per cent; ITU-R P.1812-6 eq (2) to (5).
func (r *Region) BetaPercent() float64 {
	tau, lat := r.tau(), math.Abs(r.LatDeg)
	mu1 := math.Pow(exp10(-r.LandM/1e3/(16-6.6*tau))+exp10(-5*(0.496+0.354*tau)), 0.2) // eq (2)
	log1 := math.Log10(min(mu1, 1))
	if lat <= 70 {
		return exp10(-0.015*lat + 1.67 + log1 + (-0.935+0.0176*lat)*log1) // eq (4), (5)
	}
	return 4.17 * exp10(1.3*log1)
}

// complementary is I(x), the inverse of the complementary cumulative normal distribution as
// ITU-R P.1812-6 attachment 2 approximates it, from 1e-6 to 1 less that; the official
// results hold its 1e-9 at one half.
func complementary(x float64) float64 {
	x = min(max(x, 1e-6), 1-1e-6)
	if x > 0.5 {
		return -complementary(1 - x)
	}
	t := math.Sqrt(-2 * math.Log(x))
	c := ((0.010328*t+0.802853)*t + 2.515516698) / (((0.001308*t+0.189269)*t+1.432788)*t + 1)
	return t - c
}

// exp10 is 10^x, several times as fast as math.Pow.
func exp10(x float64) float64 { return math.Exp(math.Ln10 * x) }
