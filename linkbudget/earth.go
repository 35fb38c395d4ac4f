package linkbudget

import "math"

// MeanEarthRadiusM is the mean earth radius of the ITU-R texts on refraction
// (P.1812-6 eq 7a), m. Distances on the map use WGS 84 instead; here only the
// curvature counts, and it is known to a few percent at best.
const MeanEarthRadiusM = 6371e3

// Effective earth radius factors k: the earth is drawn k times as large so
// that a ray bent by the air becomes a straight line.
const (
	// KMedian is the median of temperate climates, ITU-R P.526-15 and P.310.
	KMedian = 4.0 / 3
	// KConservative is air that does not bend rays at all.
	KConservative = 1.0
	// KSubRefraction is air that bends rays upwards, a bad night on a path
	// above some 20 km. Engineering judgement, not a figure of a standard.
	KSubRefraction = 2.0 / 3
)

// EffectiveRadiusM returns k times the mean earth radius, ITU-R P.1812-6
// eq (7a). k = +Inf draws a flat earth; every formula here accepts that.
func EffectiveRadiusM(k float64) float64 { return k * MeanEarthRadiusM }

// KFactor returns the effective earth radius factor for a vertical gradient of
// refractivity in N-units per km, negative in normal air:
// k = 157/(157 + dN/dh), ITU-R P.310 and P.1812-6 eq (6), where 157 rounds
// 10^6/6371.
//
// Towards -157, where a ray follows the earth, k grows to +Inf; below, k is
// negative: the air is a duct, and the link formulas here do not describe it.
func KFactor(gradientNPerKm float64) float64 {
	const rayFollowsEarth = 157
	if gradientNPerKm == -rayFollowsEarth {
		return math.Inf(1)
	}
	return rayFollowsEarth / (rayFollowsEarth + gradientNPerKm)
}

// BulgeM returns how far the effective earth rises over the straight chord
// between the ends, at distances d1M and d2M from them: d1*d2/(2 ae), the term
// of ITU-R P.1812-6 eq (13).
func BulgeM(d1M, d2M, effectiveRadiusM float64) float64 {
	return d1M * d2M / (2 * effectiveRadiusM)
}

// HorizonM returns the distance to the radio horizon of one antenna heightM
// above a smooth earth: sqrt(2 ae h). It is 4.12 km times sqrt(h) for an
// effective radius of 8500 km. A height below 0 has no horizon: 0.
func HorizonM(heightM, effectiveRadiusM float64) float64 {
	if heightM < 0 {
		return 0
	}
	return math.Sqrt(2 * effectiveRadiusM * heightM)
}

// LineOfSightM returns the longest distance at which two antennas see each
// other over a smooth earth: the sum of both horizons, ITU-R P.1812-6 eq (22).
func LineOfSightM(aHeightM, bHeightM, effectiveRadiusM float64) float64 {
	return HorizonM(aHeightM, effectiveRadiusM) + HorizonM(bHeightM, effectiveRadiusM)
}

// halfCurvature returns 1/(2 ae), the factor of the bulge, per metre. A radius
// left at 0 stands for the median one: no earth has radius 0.
func halfCurvature(effectiveRadiusM float64) float64 {
	if effectiveRadiusM == 0 {
		effectiveRadiusM = KMedian * MeanEarthRadiusM
	}
	return 1 / (2 * effectiveRadiusM)
}
