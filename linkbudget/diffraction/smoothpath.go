package diffraction

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// SmoothPath is a path over a smooth earth, the second part of delta-Bullington.
type SmoothPath struct {
	DistM float64 // above 0
	// EffectiveAM and EffectiveBM are h_te and h_re, m; less than 0.1 counts as 0.1.
	EffectiveAM, EffectiveBM float64
	// ClearM is the distance from either end to the nearest point of the
	// profile, m; the Bullington part looks at nothing closer. At least DistM
	// means a path without inner points.
	ClearM float64
	// Both wants the Bullington part also where the spherical part is 0 and the
	// sum of delta-Bullington does not need it; otherwise it is then 0.
	Both bool
	// EffectiveRadiusM is the effective earth radius, m; FreqHz the frequency.
	EffectiveRadiusM, FreqHz float64
	Polarisation             radio.Polarisation
}

// Losses returns L_dsph and L_bulls, the losses of the same smooth path by
// the spherical-earth formula and by Bullington (ITU-R P.526-15 §4.5.2 steps 6
// and 7, P.1812-6 §4.3.2 and 4.3.4). The engine over a profile takes the second at the
// points of the profile, this at any distance between: the difference is a few
// hundredths of a decibel.
func (p SmoothPath) Losses() (spherical, bullington radio.DB) {
	hA, hB := max(p.EffectiveAM, minSmoothHeightM), max(p.EffectiveBM, minSmoothHeightM)
	radiusM, wavelengthM := p.EffectiveRadiusM, radio.WavelengthM(p.FreqHz)
	smooth := smoothEarthPath{
		distM: p.DistM, hAM: hA, hBM: hB, radiusM: radiusM,
		freqHz: p.FreqHz, wavelengthM: wavelengthM, polarisation: p.Polarisation,
	}
	spherical = smooth.loss()
	if spherical == 0 && !p.Both {
		return 0, 0
	}
	return spherical, bullingtonLoss(p.smoothNu(hA, hB, radiusM, wavelengthM), p.DistM)
}

// smoothNu is ν of the Bullington edge over a smooth earth, every distance
// allowed; the derivation stands at smoothBullington.
func (p SmoothPath) smoothNu(hA, hB, radiusM, wavelengthM float64) float64 {
	d := p.DistM
	lo, hi := p.ClearM, d-p.ClearM
	if !(lo < d) {
		return noEdgeNu
	}
	lo, hi = min(lo, hi), max(lo, hi)
	curve := 1 / (2 * radiusM)
	height := func(x float64) float64 { return curve*x*(d-x) - (hA*(d-x)+hB*x)/d }
	// q/x is largest where its derivative -curve + hA/x² is 0, and so for q/y.
	xA := max(min(math.Sqrt(hA/curve), hi), lo)
	if q := height(xA); q >= 0 {
		xB := d - max(min(math.Sqrt(hB/curve), hi), lo)
		return math.Sqrt(2 * d / wavelengthM * q / xA * max(height(xB), 0) / (d - xB))
	}
	// In line of sight the derivative of q/sqrt(xy) changes its sign once.
	for range 24 {
		x := (lo + hi) / 2
		if z := x / (d - x); curve*d*d*(1-z)/((1+z)*(1+z))+hA/z-hB > 0 {
			lo = x
		} else {
			hi = x
		}
	}
	return height(lo) * math.Sqrt(2*d/(wavelengthM*lo*(d-lo)))
}

// LeastClearance returns the smallest height of the direct ray over the smooth earth and
// the distances of that place from A and from B, m; ITU-R P.526-15 §3.2, P.1812-6 eq 23-24.
// It asks for DistM, EffectiveRadiusM and both heights, above 0.
func (p SmoothPath) LeastClearance() (heightM, aM, bM float64) {
	smooth := smoothEarthPath{distM: p.DistM, hAM: p.EffectiveAM, hBM: p.EffectiveBM, radiusM: p.EffectiveRadiusM}
	return smooth.clearance()
}
