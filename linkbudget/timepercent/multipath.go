package timepercent

import "math"

// multipath is fading by several ways through layers of air on a path with a clear view, by
// the quick form of ITU-R P.530-17 §2.3.1 and 2.3.2, in an average year.
type multipath struct {
	occurrence float64 // log10 of p_0, the multipath occurrence factor, per cent
	deepDB     float64 // A_t, from where on the tail is p_0 10^(-A/10)
	shape      float64 // q_t
}

// multipathOver is that of a path. The
// Recommendation asks for 15 GHz/d or more, 17 km at 868 MHz; on shorter paths it gives the 1
// to 3 dB that measurements have there. A p_0 of 100 %, with Rayleigh's tail, is the most here:
// the Recommendation goes on to 2,000 %, on paths that no link of a few milliwatts bridges.
func multipathOver(f *FadesOf) multipath { return multipathOf(f.occurrence()) }

// occurrence is log10 of p_0 over an average year, per cent.
func (f *FadesOf) occurrence() float64 {
	logKm := math.Log10(f.DistM / 1e3)
	slope := math.Log10(1 + 1e3*math.Abs(f.AHeightM-f.BHeightM)/f.DistM) // log10(1+|ε_p|), mrad
	worst := worstMonth(logKm, slope, f.FreqHz, min(f.AHeightM, f.BHeightM), gradientNPerKm(f.LatDeg))
	return min(worst-yearly(logKm, slope, f.LatDeg)/10, 2)
}

func multipathOf(occurrence float64) (m multipath) {
	m.occurrence = occurrence
	m.deepDB = 25 + 1.2*m.occurrence
	a := exp10(-m.deepDB / 20)
	q := -20 * math.Log10(-math.Log1p(-exp10(m.occurrence-m.deepDB/10-2))) / m.deepDB // q'_a at A_t
	m.shape = (q-2)/((1+0.3*a)*exp10(-0.016*m.deepDB)) - 4.3*(a+m.deepDB/800)
	return m
}

// worstMonth is log10 of p_0 in the worst month, with K of the quick form.
func worstMonth(logKm, slope, freqHz, lowerM, gradientNPerKm float64) float64 {
	return -4.6 - 0.0027*gradientNPerKm + 3.1*logKm - 1.29*slope + 0.8*math.Log10(freqHz/1e9) - 0.00089*lowerM
}

// yearly is ΔG, by how much the year's mean lies below the worst month, dB: ITU-R P.530-17
// §2.3.4, from memory; slope is log10(1+|ε_p|).
func yearly(logKm, slope, latDeg float64) float64 {
	swing := math.Exp(0.7 * math.Log(math.Abs(math.Cos(latDeg*math.Pi/90))))
	if math.Abs(latDeg) > 45 {
		swing = -swing
	}
	return min(10.5-5.6*math.Log10(1.1+swing)-2.7*logKm+1.7*slope, 10.8)
}

// exceeded is the share of time, 0 to 0.5, in which a fade below the median is deeper than
// db, at least 0. The Recommendation counts from the level without fading, over which 37 %
// of the time lies; raised to the power of ln 2 half of it does, which in Rayleigh's tail are
// the 1.6 dB between mean and median.
func (m *multipath) exceeded(db float64) float64 {
	var log float64 // -ln(1 - p)
	if db >= m.deepDB {
		log = -math.Log1p(-exp10(m.occurrence - db/10 - 2))
	} else {
		a := exp10(-db / 20)
		q := 2 + (1+0.3*a)*exp10(-0.016*db)*(m.shape+4.3*(a+db/800)) // q_a
		log = exp10(-q * db / 20)
	}
	return -math.Expm1(-math.Ln2 * log)
}

// gradientNPerKm is dN1, the gradient of refractivity in the lowest 65 m that is not exceeded
// for 1 % of an average year, by latitude alone: the maps of ITU-R P.453 may not be
// redistributed. From memory of their shape: -150 N/km in cold land, -200 in temperate,
// -300 in the subtropics, -350 at the equator; coasts of warm seas go to -600.
func gradientNPerKm(latDeg float64) float64 {
	knots := [...]struct{ lat, n float64 }{{0, -350}, {30, -300}, {50, -200}, {70, -150}}
	lat := math.Abs(latDeg)
	for i := 1; i < len(knots); i++ {
		if lo, hi := knots[i-1], knots[i]; lat < hi.lat {
			return lo.n + (hi.n-lo.n)*(lat-lo.lat)/(hi.lat-lo.lat)
		}
	}
	return knots[len(knots)-1].n
}
