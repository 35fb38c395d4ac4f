package reflection

import "math"

// Roughness is a rough surface met by a ray.
type Roughness struct {
	// SpreadM is the standard deviation of the surface inside the reflection
	// zone, m, see [diffraction.FitGround].
	SpreadM float64
	// GrazingRad is the angle between ray and surface, radians.
	GrazingRad float64
	// WavelengthM is the wavelength, m, above 0.
	WavelengthM float64
}

// Factor returns rho_s, by which roughness lowers the mirror reflection:
// exp(-g^2/2) with g = 4 pi s sin(psi)/lambda (Ament 1953). What is lost goes
// into scatter, so a measured field may sink less than this says.
func (r Roughness) Factor() float64 {
	g := r.phaseSpreadRad()
	return math.Exp(-g * g / 2)
}

// Smooth is the Rayleigh criterion: s < lambda/(8 sin psi), which spreads the
// reflected phase by less than a quarter turn.
func (r Roughness) Smooth() bool { return r.phaseSpreadRad() < math.Pi/2 }

// phaseSpreadRad is g, the standard deviation of the reflected phase.
func (r Roughness) phaseSpreadRad() float64 {
	return 4 * math.Pi * r.SpreadM * math.Sin(r.GrazingRad) / r.WavelengthM
}
