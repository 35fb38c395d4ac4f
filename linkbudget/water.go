package linkbudget

import "math"

// FreshWater returns the constants of pure water at tempC degrees Celsius,
// ITU-R P.527-6 §5.1.1: two Debye relaxations. Stated for -4 to 40 °C and
// frequencies up to 1000 GHz.
func FreshWater(freqHz, tempC float64) Ground {
	return waterRelaxation(tempC).at(freqHz/1e9, 0)
}

// SeaWater returns the constants of water at tempC degrees Celsius with
// salinityGPerKg grams of salt per kilogram (35 in the open sea, up to 40),
// ITU-R P.527-6 §5.1.2: the relaxations of pure water shifted by the salt,
// plus ionic conduction. 0 g/kg gives fresh water.
func SeaWater(freqHz, tempC, salinityGPerKg float64) Ground {
	t, s := tempC, salinityGPerKg
	w := waterRelaxation(t)
	w.static *= math.Exp(s * (-3.33330e-3 + s*4.74868e-6))
	// The sign of the cubic term is that of the Recommendation; the fit it
	// was taken from (Meissner and Wentz 2012) was later corrected to minus.
	// At 868 MHz and 20 °C that moves the permittivity by 0.05.
	w.firstGHz *= 1 + s*(2.3232e-3+t*(-7.9208e-5+t*(3.6764e-6+t*(3.5594e-7+t*8.9795e-9))))
	w.middle *= math.Exp(s * (-6.28908e-3 + s*1.76032e-4 - t*9.22144e-5))
	w.secondGHz *= 1 + s*(-1.99723e-2+t*1.81176e-4)
	w.optical *= 1 + s*(-2.04265e-3+t*1.57883e-4)
	return w.at(freqHz/1e9, ionicConductivity(t, s))
}

// waterDebye are the parameters of two Debye relaxations.
type waterDebye struct {
	static, middle, optical float64 // permittivity below, between and above
	firstGHz, secondGHz     float64 // relaxation frequencies
}

// waterRelaxation returns the parameters of pure water, P.527-6 §5.1.1.
func waterRelaxation(tempC float64) waterDebye {
	theta := 300/(tempC+273.15) - 1
	static := 77.66 + 103.3*theta
	first := 20.20 + theta*(-146.4+theta*316)
	return waterDebye{
		static: static, middle: 0.0671 * static, optical: 3.52 - 7.52*theta,
		firstGHz: first, secondGHz: 39.8 * first,
	}
}

// at evaluates the relaxations: the imaginary part appears as a conductivity,
// sigma = eps” f/18, f in GHz.
func (w waterDebye) at(freqGHz, ionicSPerM float64) Ground {
	u1, u2 := freqGHz/w.firstGHz, freqGHz/w.secondGHz
	first := (w.static - w.middle) / (1 + u1*u1)
	second := (w.middle - w.optical) / (1 + u2*u2)
	lossFactor := u1*first + u2*second
	return Ground{
		Permittivity:      first + second + w.optical,
		ConductivitySPerM: lossFactor*freqGHz/18 + ionicSPerM,
	}
}

// ionicConductivity of sea water, S/m, ITU-R P.527-6 §5.1.2: that of standard
// sea water at 35 g/kg, scaled to the salinity at 15 °C, then to the temperature.
func ionicConductivity(tempC, salinityGPerKg float64) float64 {
	t, s := tempC, salinityGPerKg
	standard := 2.903602 + t*(8.607e-2+t*(4.738817e-4+t*(-2.991e-6+t*4.3047e-9)))
	ratio15 := s * (37.5109 + s*(5.45216+s*1.4409e-2)) / (1004.75 + s*(182.283+s))
	alpha0 := (6.9431 + s*(3.2841-s*9.9486e-2)) / (84.850 + s*(69.024+s))
	alpha1 := 49.843 + s*(-0.2276+s*0.198e-2)
	return standard * ratio15 * (1 + alpha0*(t-15)/(alpha1+t))
}
