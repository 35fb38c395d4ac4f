package reflection

import (
	"math"
	"math/cmplx"

	"github.com/polereach/polereach/linkbudget/radio"
)

// coefficient returns the complex reflection coefficient Gamma of flat, smooth
// ground for a ray that meets it at grazingRad, 0 to pi/2 from the surface:
// the Fresnel equations for a wave coming from air, time convention exp(+jwt).
// Parsons, "The Mobile Radio Propagation Channel", ch. 2.
//
// Towards grazing Gamma goes to -1 in both polarisations; at right angles the
// vertical one is minus the horizontal one, because the direction counted as
// positive turns over.
func coefficient(g radio.Ground, p radio.Polarisation, grazingRad, wavelengthM float64) complex128 {
	sin, cos := math.Sincos(grazingRad)
	eta := g.ComplexPermittivity(wavelengthM)
	root := cmplx.Sqrt(eta - complex(cos*cos, 0))
	incident := complex(sin, 0)
	if p == radio.Vertical {
		incident *= eta
	}
	if sum := incident + root; sum != 0 {
		return (incident - root) / sum
	}
	return -1 // ground like air, ray along the surface: the limit of grazing
}
