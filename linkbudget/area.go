package linkbudget

import (
	"errors"
	"math"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
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
//
// It may be used from several goroutines.
type Area struct {
	A, B Station
	// Env has its defaults filled in, but for the air of a place: SurfaceRefractivity stays as stated.
	Env Environment
	// BudgetDB is the margin of the weaker direction without path loss and with
	// isotropic antennas; both directions share everything else.
	BudgetDB DB
	// Polarisation is the one that the ground sees.
	Polarisation radio.Polarisation
	// HeightAM and HeightBM are the heights above ground from which paths are
	// reckoned, see [Station.ReckonedM].
	HeightAM, HeightBM float64
}

// NewArea checks and prepares; the error lists every fault at once, and a share of time below the
// median's: what is heard then depends on more of a path than an area knows. Above it the caller
// has the fades to add, see [timepercent.FadeTable].
func NewArea(a, b Station, env Environment) (Area, error) {
	if err := errors.Join(a.Validate(), b.Validate(), env.Validate(), env.Contradictions(a, b),
		env.notBelowMedian()); err != nil {
		return Area{}, err
	}
	out := Area{A: a, B: b, Env: env.withDefaults(0), Polarisation: shared(&a, &b)}
	out.HeightAM, out.HeightBM = a.ReckonedM(env), b.ReckonedM(env)
	var prepared [2]PreparedStation
	prepared[0].prepare(&a, &out.Env)
	prepared[1].prepare(&b, &out.Env)
	isotropic := ends{a: &prepared[0], b: &prepared[1], env: &out.Env}
	var forward, backward Level
	known := out.Env.Calibration.between(&a, &b, nil)
	isotropic.level(&forward, isotropic.a, isotropic.b, 0, 0, known.ForwardDB)
	isotropic.level(&backward, isotropic.b, isotropic.a, 0, 0, known.BackwardDB)
	out.BudgetDB = min(forward.MarginDB, backward.MarginDB)
	return out, nil
}

// ClutterDB is what the surroundings of both ends cost on a path of distM.
func (a Area) ClutterDB(distM float64) DB {
	return a.A.endLoss(distM, &a.Env).lossDB + a.B.endLoss(distM, &a.Env).lossDB
}

// OpenDB is what open country costs at each end, of which only what stands on the profile is counted where
// that costs more: 0 for an end among anything else.
func (a Area) OpenDB() (open [2]DB) {
	for i, s := range [2]*Station{&a.A, &a.B} {
		open[i] = s.openDB(&a.Env)
	}
	return open
}

// openDB is that of one end.
func (s *Station) openDB(env *Environment) DB {
	if s.inTown(env) || s.Surroundings.built() {
		return 0
	}
	return s.endLoss(0, env).lossDB
}

// SteadyDoubtDB is the part of the doubt that no ground changes: hardware,
// mounting, surroundings, and a town on a path of distM, or what a calibration makes of them.
func (a Area) SteadyDoubtDB(distM float64) DB {
	var ends [2]PreparedStation
	ends[0].prepare(&a.A, &a.Env)
	ends[1].prepare(&a.B, &a.Env)
	var d steadyDoubts
	d.find(distM, &ends[0], &ends[1], &a.Env)
	if c := a.Env.Calibration; c != nil {
		known := c.between(&a.A, &a.B, nil)
		return DB(math.Sqrt(c.others(&known, float64(d.otherSquares())) + float64(c.AreaSigmaDB*c.AreaSigmaDB)))
	}
	return DB(math.Sqrt(float64(d.otherSquares() + d.hardware*d.hardware)))
}

// Spread is by what the doubts that the ground adds are multiplied, of the method and of the
// terrain: 1 without a calibration.
func (a Area) Spread() float64 {
	if a.Env.Calibration == nil {
		return 1
	}
	return a.Env.Calibration.Spread
}

// SmoothEarth returns what [diffraction.SmoothPath.Losses] does for a path of the area, of which the
// length and the heights are given.
func (a Area) SmoothEarth(p diffraction.SmoothPath) (spherical, bullington DB) {
	p.EffectiveRadiusM, p.FreqHz, p.Polarisation = radio.EffectiveRadiusM(a.Env.K), a.Env.FreqHz, a.Polarisation
	return p.Losses()
}
