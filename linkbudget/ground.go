package linkbudget

import "math"

// Ground holds the electrical constants of a reflecting surface.
type Ground struct {
	// Permittivity is the relative permittivity, real part, at least 1.
	Permittivity float64
	// ConductivitySPerM is the conductivity, S/m, at least 0.
	ConductivitySPerM float64
}

// Named grounds near 900 MHz, for use without a frequency. The land values
// round ITU-R P.2040 (see [MediumDryGround]), the water values P.527-6 (see
// [SeaWater]); the loams are P.527-6 §5.2 at 20 °C with 0.1, 0.3 and 0.5 m3
// of water in 1 m3 of soil. They are for reflection: diffraction over the
// smooth earth has constants of its own in ITU-R P.1812.
var (
	GroundVeryDry    = Ground{3, 0.0001}
	GroundMediumDry  = Ground{15, 0.03}
	GroundWet        = Ground{30, 0.13}
	GroundDryLoam    = Ground{6.2, 0.032}
	GroundMoistLoam  = Ground{17.4, 0.081}
	GroundWetLoam    = Ground{32.7, 0.137}
	GroundFreshWater = Ground{80, 0.18}
	GroundSeaWater   = Ground{71.6, 4.93}
)

// VeryDryGround returns ITU-R P.2040 table 3 "very dry ground": 3 and
// 0.00015 f^2.52, f in GHz. The Recommendation states 1 to 10 GHz; 868 MHz
// lies just outside.
func VeryDryGround(freqHz float64) Ground {
	return powerLawGround(freqHz, 3, 0, 0.00015, 2.52)
}

// MediumDryGround returns ITU-R P.2040 table 3 "medium dry ground": 15 f^-0.1
// and 0.035 f^1.63, f in GHz; stated for 1 to 10 GHz.
func MediumDryGround(freqHz float64) Ground {
	return powerLawGround(freqHz, 15, -0.1, 0.035, 1.63)
}

// WetGround returns ITU-R P.2040 table 3 "wet ground": 30 f^-0.4 and
// 0.15 f^1.30, f in GHz; stated for 1 to 10 GHz.
func WetGround(freqHz float64) Ground {
	return powerLawGround(freqHz, 30, -0.4, 0.15, 1.30)
}

// powerLawGround is the form of P.2040 table 3: eps = a f^b, sigma = c f^d.
func powerLawGround(freqHz, a, b, c, d float64) Ground {
	freqGHz := freqHz / 1e9
	return Ground{a * math.Pow(freqGHz, b), c * math.Pow(freqGHz, d)}
}

// ComplexPermittivity returns eta = eps - j 60 sigma lambda, for the time
// convention exp(+jwt). 60 rounds 59.96, the wave impedance over 2 pi.
func (g Ground) ComplexPermittivity(wavelengthM float64) complex128 {
	return complex(g.Permittivity, -60*g.ConductivitySPerM*wavelengthM)
}
