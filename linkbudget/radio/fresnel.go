package radio

import "math"

// FresnelZone is a cross-section of the first zone, the ellipsoid of points whose way to
// both antennas is half a wavelength longer than the straight one (ITU-R P.526-15 eq 1).
// Nearly all the power of a link travels inside it.
type FresnelZone struct {
	// D1M and D2M are the distances from the ends, m, above 0.
	D1M, D2M float64
	// WavelengthM is the wavelength, m, above 0.
	WavelengthM float64
}

// RadiusM returns the radius of the zone in metres:
// sqrt(lambda d1 d2/(d1+d2)), ITU-R P.526-15 eq (2) with n = 1, for distances that are
// large against the radius. It is 0 at an end and beyond it.
func (z FresnelZone) RadiusM() float64 {
	square := z.WavelengthM * z.D1M * z.D2M / (z.D1M + z.D2M)
	if !(square > 0) {
		return 0
	}
	return math.Sqrt(square)
}
