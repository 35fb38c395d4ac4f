package diffraction

import "github.com/polereach/polereach/linkbudget/radio"

// The diffraction loss over a whole profile is that of the Bullington construction, plus
// what a smooth earth of the same mean height loses beyond that same construction. ITU-R
// P.526-15 §4.5.2, the same as P.1812-6 §4.3.4 (eq 39) and P.452-18.
//
// The loss is one continuous quantity from free sight to deep shadow, equal in
// both directions, and independent of the datum. It is not monotonic: raising
// one point of the profile can lower it by some decibels, because the edge and
// the fitted surface move.

// Path is a profile and what stands on its ends. The slices are only read; of other
// lengths than told they make methods panic.
type Path struct {
	DistM   []float64 // distance from A: first 0, strictly increasing, at least two
	GroundM []float64 // bare ground above any one datum, as long as DistM
	// ClutterM is the representative height of what stands on the ground
	// (P.2108), as long as DistM; nil: none. It raises inner points only, the
	// two ends never. ITU-R P.452 also wants 0 within 50 m of either end, P.1812
	// does not: the caller decides.
	ClutterM           []float64
	AHeightM, BHeightM float64 // antennas above ground, >= 0
	EffectiveRadiusM   float64 // k times the earth's radius, above 0; +Inf: flat earth
	FreqHz             float64 // above 0; the method holds from 30 MHz to 3 GHz (P.1812) and far beyond (P.526)
	SpeedMS            float64 // speed of light behind the wavelength; 0: exact. Official data used 3.0e8 or 2.998e8
	Polarisation       radio.Polarisation
	SeaFraction        float64 // share of the path over sea, 0 to 1
}

// Loss is the loss of delta-Bullington and its parts. No field is ever NaN or Inf
// for a valid input, and none of the losses is negative.
type Loss struct {
	BullingtonDB radio.DB // L_bulla: Bullington over the real profile
	SmoothDB     radio.DB // L_bulls: Bullington over the smooth earth fitted to it
	SphericalDB  radio.DB // L_dsph: diffraction over that smooth earth
	LossDB       radio.DB // L_d = BullingtonDB + max(SphericalDB-SmoothDB, 0)

	// The edge of BullingtonDB: the virtual one where the horizons of A and B
	// meet, or in line of sight the point of largest ν. A profile without inner
	// points has no edge: EdgeAtM is 0 and Nu is -1e6.
	Nu      float64
	EdgeAtM float64 // from A
	// LineOfSight: every inner point, earth bulge and clutter included, lies
	// below the direct ray. It says nothing about Fresnel clearance.
	LineOfSight bool

	EffectiveAM, EffectiveBM float64 // h_te, h_re: antennas above the smooth surface, >= 0.1 m
	SmoothAM, SmoothBM       float64 // h_std, h_srd: the smooth surface at A and B, above the datum
}

func (p *Path) wavelengthM() float64 {
	if p.SpeedMS == 0 {
		return radio.SpeedOfLightMS / p.FreqHz
	}
	return p.SpeedMS / p.FreqHz
}

// sum adds to the edge what the smooth earth under the antennas, hA and hB above it,
// loses beyond its own Bullington construction. SmoothDB is left out where it does not
// matter: where the spherical earth loses nothing.
func (p *Path) sum(out *Loss, edge bullingtonPoint, hA, hB float64) {
	n := len(p.DistM)
	distM := p.DistM[n-1]
	out.Nu, out.EdgeAtM, out.LineOfSight = edge.nu, edge.atM, edge.lineOfSight
	out.SmoothAM, out.SmoothBM = p.GroundM[0]+p.AHeightM-hA, p.GroundM[n-1]+p.BHeightM-hB
	out.EffectiveAM, out.EffectiveBM = max(hA, minSmoothHeightM), max(hB, minSmoothHeightM)
	out.BullingtonDB, out.SmoothDB = bullingtonLoss(edge.nu, distM), 0
	out.SphericalDB = p.spherical(out.EffectiveAM, out.EffectiveBM, p.EffectiveRadiusM)
	out.LossDB = out.BullingtonDB
	if out.SphericalDB > 0 {
		out.SmoothDB = p.smoothLoss(out)
		out.LossDB += max(out.SphericalDB-out.SmoothDB, 0)
	}
}

// spherical is the loss over a smooth earth of radiusM.
func (p *Path) spherical(hAM, hBM, radiusM float64) radio.DB {
	smooth := smoothEarthPath{
		distM: p.DistM[len(p.DistM)-1], hAM: hAM, hBM: hBM, radiusM: radiusM, freqHz: p.FreqHz,
		wavelengthM: p.wavelengthM(), seaFraction: p.SeaFraction, polarisation: p.Polarisation,
	}
	return smooth.loss()
}

// Complete fills in SmoothDB, which [Relief.DeltaBullington] leaves out where the
// spherical earth loses nothing.
func (p *Path) Complete(d *Loss) {
	if d.SphericalDB == 0 {
		d.SmoothDB = p.smoothLoss(d)
	}
}

// smoothLoss is L_bulls.
func (p *Path) smoothLoss(d *Loss) radio.DB {
	edge := smoothBullington(p.DistM, d.EffectiveAM, d.EffectiveBM, p.EffectiveRadiusM, p.wavelengthM())
	return bullingtonLoss(edge.nu, p.DistM[len(p.DistM)-1])
}
