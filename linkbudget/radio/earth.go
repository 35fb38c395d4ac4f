package radio

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

// HalfCurvature returns 1/(2 ae), the factor of the bulge, per metre. A radius
// left at 0 stands for the median one: no earth has radius 0.
func HalfCurvature(effectiveRadiusM float64) float64 {
	if effectiveRadiusM == 0 {
		effectiveRadiusM = KMedian * MeanEarthRadiusM
	}
	return 1 / (2 * effectiveRadiusM)
}
