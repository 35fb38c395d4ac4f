package reflection

import (
	"math"
	"math/cmplx"

	"github.com/polereach/polereach/linkbudget/radio"
)

// TwoRay is the direct ray between two antennas and the one reflected by the
// ground. It explains a link: the height gain, the lobes, how far ripple can
// shift the level. It must not be added to diffraction over the same ground,
// which already holds the reflected wave: together they count up to 30 dB twice.
type TwoRay struct {
	// DistM is the length along the ground, m, above 0.
	DistM float64
	// AHeightM and BHeightM are the heights over the reflecting surface, m,
	// above 0: over the line of [diffraction.FitGround], not over the ground at the foot.
	AHeightM, BHeightM float64
	// WavelengthM is the wavelength, m, above 0.
	WavelengthM float64
	// Ground reflects; Polarisation is that of both antennas.
	Ground       radio.Ground
	Polarisation radio.Polarisation
	// SpreadM is the roughness of the ground, m, see [Roughness]; 0 is a mirror.
	SpreadM float64
}

// RayPair is the outcome of a [TwoRay].
type RayPair struct {
	// DirectM is the length of the direct ray, PathDiffM what the reflected
	// one is longer, PointM the distance of the reflection point from A; m.
	DirectM, PathDiffM, PointM float64
	// GrazingRad is the angle between ray and ground, radians.
	GrazingRad float64
	// Gamma is the reflection coefficient of the smooth ground.
	Gamma complex128
	// Rho is the strength of the reflected ray at the receiver in units of the
	// direct one, roughness and divergence included, see [RippleSigma].
	Rho float64
	// RelativeDB is the level against the direct ray alone: +6 dB at most for
	// Rho up to 1, and cut at -120 dB where both rays cancel.
	RelativeDB radio.DB
	// LossDB is the basic transmission loss: free space less RelativeDB.
	LossDB radio.DB
}

// OverFlat sums both rays over flat ground. Parsons ch. 2:
// |1 + rho_s Gamma (r1/r2) exp(-j 2 pi (r2-r1)/lambda)|.
func (t TwoRay) OverFlat() RayPair {
	direct := radio.SlantM(t.DistM, t.AHeightM, t.BHeightM)
	reflected := math.Hypot(t.DistM, t.AHeightM+t.BHeightM)
	return t.sum(RayPair{
		DirectM: direct,
		// r2-r1 by its squares: the difference of two long ways loses digits.
		PathDiffM:  4 * t.AHeightM * t.BHeightM / (reflected + direct),
		PointM:     t.DistM * t.AHeightM / (t.AHeightM + t.BHeightM),
		GrazingRad: math.Atan2(t.AHeightM+t.BHeightM, t.DistM),
	}, 1)
}

// OverEarth sums both rays over the curved earth, with the divergence of the
// reflected one. It is false where two rays do not describe the field: behind
// the horizon of the smooth earth and shortly before it, see
// [Specular.RayOptics]. effectiveRadiusM is as in [SpecularPath].
func (t TwoRay) OverEarth(effectiveRadiusM float64) (RayPair, bool) {
	point, ok := SpecularPath{
		DistM: t.DistM, AHeightM: t.AHeightM, BHeightM: t.BHeightM,
		EffectiveRadiusM: effectiveRadiusM,
	}.Point()
	if !ok || !point.RayOptics(t.WavelengthM) {
		return RayPair{}, false
	}
	return t.sum(RayPair{
		DirectM:   radio.SlantM(t.DistM, t.AHeightM, t.BHeightM),
		PathDiffM: point.PathDiffM, PointM: point.D1M, GrazingRad: point.GrazingRad,
	}, point.Divergence), true
}

// sum fills in what follows from the geometry.
func (t TwoRay) sum(r RayPair, divergence float64) RayPair {
	r.Gamma = coefficient(t.Ground, t.Polarisation, r.GrazingRad, t.WavelengthM)
	rough := Roughness{SpreadM: t.SpreadM, GrazingRad: r.GrazingRad, WavelengthM: t.WavelengthM}
	weight := divergence * rough.Factor() * r.DirectM / (r.DirectM + r.PathDiffM)
	r.Rho = weight * cmplx.Abs(r.Gamma)
	phase := cmplx.Rect(weight, -2*math.Pi*r.PathDiffM/t.WavelengthM)
	r.RelativeDB = fieldDB(cmplx.Abs(1 + r.Gamma*phase))
	r.LossDB = radio.FreeSpace(r.DirectM, radio.SpeedOfLightMS/t.WavelengthM) - r.RelativeDB
	return r
}

// fieldDB is 20 log of a relative field strength, cut at -120 dB: no null of a
// real link is as deep, and a perfect one would be minus infinity.
func fieldDB(relative float64) radio.DB {
	const floor = 1e-6
	return radio.DB(20 * math.Log10(math.Max(relative, floor)))
}

// BreakpointM returns the distance of the last maximum, 4 h1 h2/lambda, beyond
// which the level falls with the fourth power of distance. Some texts put it
// at 4 pi h1 h2/lambda.
func (t TwoRay) BreakpointM() float64 {
	return 4 * t.AHeightM * t.BHeightM / t.WavelengthM
}
