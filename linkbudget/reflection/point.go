package reflection

import (
	"math"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
)

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
// It is the point of least clearance of ITU-R P.526-15 §3.2 (P.1812-6 eq 24);
// the heights over the tangent plane are those of the P.530 procedure for paths
// with reflection. Path difference and angle are taken exactly over that plane,
// where the procedure has their small-angle forms 2 h1 h2/d and (h1+h2)/d.
func (p SpecularPath) Point() (Specular, bool) {
	if !(p.DistM > 0 && p.AHeightM > 0 && p.BHeightM > 0) {
		return Specular{}, false
	}
	curve := radio.HalfCurvature(p.EffectiveRadiusM)
	smooth := diffraction.SmoothPath{DistM: p.DistM, EffectiveAM: p.AHeightM, EffectiveBM: p.BHeightM,
		EffectiveRadiusM: 1 / (2 * curve)}
	var s Specular
	_, s.D1M, s.D2M = smooth.LeastClearance()
	s.AHeightM = p.AHeightM - s.D1M*s.D1M*curve
	s.BHeightM = p.BHeightM - s.D2M*s.D2M*curve
	if !(s.AHeightM > 0 && s.BHeightM > 0) {
		return Specular{}, false
	}
	sum := s.AHeightM + s.BHeightM
	s.GrazingRad = math.Atan2(sum, p.DistM)
	s.PathDiffM = 4 * s.AHeightM * s.BHeightM /
		(math.Hypot(p.DistM, sum) + math.Hypot(p.DistM, s.AHeightM-s.BHeightM))
	// D = 1/sqrt(1 + 2 d1 d2/(ae d tan psi)), tan psi = (h1+h2)/d
	s.Divergence = 1 / math.Sqrt(1+4*curve*s.D1M*s.D2M/sum)
	return s, true
}

// RayOptics says whether the sum of a direct and a reflected ray describes
// the field over this earth. Near the horizon it does not: the divergence
// factor weakens the reflected ray although both still cancel, and promises a
// field that is not there.
//
// The rule is ours: the shortfall 1-D must not exceed the phase between both
// rays, 2 pi/lambda times the path difference. Inside it the two-ray sum stays
// within 2.8 dB of the spherical-earth diffraction of P.526 over land (computed
// for 868 MHz, antennas 1 to 50 m, 0.2 to 60 km); at twice that limit it is up
// to 5.8 dB off, farther out 40 dB. Where RayOptics is false take diffraction.
func (s Specular) RayOptics(wavelengthM float64) bool {
	return 1-s.Divergence <= 2*math.Pi*s.PathDiffM/wavelengthM
}
