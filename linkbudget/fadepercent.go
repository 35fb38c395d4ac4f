package linkbudget

import "math"

// DeepFadePercent returns the percentage of the average worst month in which a
// fade is deeper than this, p_0 10^(-A/10), at most 100: ITU-R P.530-18 §2.3.1,
// for deep fades. occurrence is the p_0 of Occurrence; a value that is not
// above 0 gives 0, and so does a fade that is not a number.
func DeepFadePercent(occurrence float64, fade DB) float64 {
	if !(occurrence > 0) || math.IsNaN(float64(fade)) {
		return 0
	}
	return min(math.Pow(10, math.Log10(occurrence)-float64(fade)/10), 100)
}

// FadePercent is DeepFadePercent for any depth: ITU-R P.530-18 §2.3.2. From
// A_t = 25 + 1.2 log p_0 on it is the same; shallower, the exponent q_a bends
// the curve so that it ends at 63 % of the time at 0 dB. A fade below 0 dB
// counts as 0 dB.
func FadePercent(occurrence float64, fade DB) float64 {
	if !(occurrence > 0) || math.IsNaN(float64(fade)) {
		return 0
	}
	// Below p_0 = 1e-8 % A_t nears 0 and q_a loses its meaning.
	occurrence = min(max(occurrence, 1e-8), math.Pow(10, occurrenceMaxLog))
	deepFromDB := 25 + 1.2*math.Log10(occurrence)
	a := max(float64(fade), 0)
	if a >= deepFromDB {
		return DeepFadePercent(occurrence, DB(a))
	}
	field := func(a float64) float64 { return math.Pow(10, -a/20) }
	bend := func(a float64) float64 { return (1 + 0.3*field(a)) * math.Pow(10, -0.016*a) }
	rise := func(a float64) float64 { return 4.3 * (field(a) + a/800) }
	deepPercent := DeepFadePercent(occurrence, DB(deepFromDB))
	qDeep := -20 / deepFromDB * math.Log10(-math.Log1p(-deepPercent/100))
	qt := (qDeep-2)/bend(deepFromDB) - rise(deepFromDB)
	q := 2 + bend(a)*(qt+rise(a))
	return -100 * math.Expm1(-math.Pow(10, -q*a/20))
}
