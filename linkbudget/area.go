package linkbudget

import (
	"errors"
	"math"
)

// Area is what [Evaluate] knows before it looks at the ground, prepared once
// for the many paths from one station to every place of an area where another
// may stand. Package coverage computes the ground's part.
//
// The margin of the weaker direction at a place is
//
//	BudgetDB + gain A + gain B - loss - crossed polarisation
//
// with both gains towards the other end.
type Area struct {
	A, B Station
	// Env has its defaults filled in.
	Env Environment
	// BudgetDB is the margin of the weaker direction without path loss and with
	// isotropic antennas; both directions share everything else.
	BudgetDB DB
	// Polarisation is the one that the ground sees.
	Polarisation Polarisation
	// HeightAM and HeightBM are the heights above ground from which paths are
	// reckoned, see [Station.ReckonedM].
	HeightAM, HeightBM float64
}

// NewArea checks and prepares; the error lists every fault at once.
func NewArea(a, b Station, env Environment) (Area, error) {
	if err := errors.Join(a.Validate(), b.Validate(), env.Validate(), env.Contradictions(a, b)); err != nil {
		return Area{}, err
	}
	out := Area{A: a, B: b, Env: env.withDefaults(0), Polarisation: shared(&a, &b)}
	out.HeightAM, out.HeightBM = a.ReckonedM(env), b.ReckonedM(env)
	var prepared [2]PreparedStation
	prepared[0].prepare(&a, &out.Env)
	prepared[1].prepare(&b, &out.Env)
	isotropic := ends{a: &prepared[0], b: &prepared[1], env: &out.Env}
	var forward, backward BriefLevel
	isotropic.level(&forward, isotropic.a, isotropic.b, 0, 0)
	isotropic.level(&backward, isotropic.b, isotropic.a, 0, 0)
	out.BudgetDB = min(forward.MarginDB, backward.MarginDB)
	return out, nil
}

// ClutterDB is what the surroundings of both ends cost on a path of distM.
func (a Area) ClutterDB(distM float64) DB {
	return a.A.endLoss(distM, &a.Env).lossDB + a.B.endLoss(distM, &a.Env).lossDB
}

// SteadyDoubtDB is the part of the doubt that no ground changes: hardware,
// mounting, surroundings, and a town on a path of distM.
func (a Area) SteadyDoubtDB(distM float64) DB {
	var ends [2]PreparedStation
	ends[0].prepare(&a.A, &a.Env)
	ends[1].prepare(&a.B, &a.Env)
	var d steadyDoubts
	d.find(distM, &ends[0], &ends[1], &a.Env)
	return DB(math.Sqrt(float64(d.otherSquares() + d.hardware*d.hardware)))
}

// ModelDoubtDB is the standard deviation of the method itself for a diffraction loss.
func ModelDoubtDB(diffraction DB) DB { return modelDoubt(diffraction) }

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
}

// SmoothEarth returns L_dsph and L_bulls, the losses of the same smooth path by
// the spherical-earth formula and by Bullington (ITU-R P.526-15 §4.5.2 steps 6
// and 7, P.1812-6 §4.3.2 and 4.3.4). The engine over a profile takes the second at the
// points of the profile, this at any distance between: the difference is a few
// hundredths of a decibel.
func (a Area) SmoothEarth(p SmoothPath) (spherical, bullington DB) {
	hA, hB := max(p.EffectiveAM, minSmoothHeightM), max(p.EffectiveBM, minSmoothHeightM)
	radiusM, wavelengthM := EffectiveRadiusM(a.Env.K), WavelengthM(a.Env.FreqHz)
	smooth := smoothEarthPath{
		distM: p.DistM, hAM: hA, hBM: hB, radiusM: radiusM,
		freqHz: a.Env.FreqHz, wavelengthM: wavelengthM, polarisation: a.Polarisation,
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
