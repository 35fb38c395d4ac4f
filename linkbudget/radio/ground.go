package radio

// Ground holds the electrical constants of a reflecting surface.
type Ground struct {
	// Permittivity is the relative permittivity, real part, at least 1.
	Permittivity float64
	// ConductivitySPerM is the conductivity, S/m, at least 0.
	ConductivitySPerM float64
}

// GroundMediumDry is medium dry ground near 900 MHz: the 15 f^-0.1 and 0.035 f^1.63 of
// ITU-R P.2040 table 3, f in GHz, in round figures. It is for reflection: diffraction over
// the smooth earth has constants of its own in ITU-R P.1812.
var GroundMediumDry = Ground{15, 0.03}

// ComplexPermittivity returns eta = eps - j 60 sigma lambda, for the time
// convention exp(+jwt). 60 rounds 59.96, the wave impedance over 2 pi.
func (g Ground) ComplexPermittivity(wavelengthM float64) complex128 {
	return complex(g.Permittivity, -60*g.ConductivitySPerM*wavelengthM)
}
