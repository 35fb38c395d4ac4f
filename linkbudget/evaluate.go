package linkbudget

import (
	"errors"
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/terrain"
)

// Evaluate computes the budget of the path p from a to b, both directions.
//
// The median loss is free space over the slant distance plus delta-Bullington
// diffraction, with troposcatter as a ceiling (ITU-R P.1812-6 §4.2 to 4.5).
// A path with an unknown height gives a Result with Verdict Unknown and the
// Gaps, not an error. Errors list every fault of the input at once, each [fault.ErrInput].
//
// MarginDB of the result is the fade margin: how far the median level of the weaker
// direction lies above what its receiver needs, before fades in time.
func Evaluate(p terrain.Profile, a, b Station, env Environment) (Result, error) {
	var f Brief
	w, err := evaluated(&f, &p, &a, &b, &env)
	if err != nil {
		return Result{}, err
	}
	defer w.release()
	return w.explain(&f), nil
}

// evaluated checks the input and finds the figures of a path; who has done with the
// workspace releases it.
func evaluated(f *Brief, p *terrain.Profile, a, b *Station, env *Environment) (*workspace, error) {
	if err := errors.Join(p.Validate(), a.Validate(), b.Validate(), env.Validate(),
		env.Contradictions(*a, *b)); err != nil {
		return nil, err
	}
	w := workspaces.Get().(*workspace)
	w.prepared.prepare(env)
	w.ends[0].prepare(a, env)
	w.ends[1].prepare(b, env)
	w.brief(f, p, &w.ends[0], &w.ends[1], w.prepared.conditions(p.LengthM()))
	return w, nil
}

// Usual lengths of the lists of a Result: they are cut from one piece.
const usualTerms, usualDoubts, usualItems, usualNoise = 5, 6, 8, 2

// explain returns the result of the path last put into brief, whose figures are f.
func (w *workspace) explain(f *Brief) Result {
	e := &w.evaluation
	p, a, b := e.profile, e.a.station, e.b.station
	env := &e.conditions.env
	r := Result{
		From: a.Name, To: b.Name, Summary: f.Summary, Gaps: f.Gaps,
		HeightAM: a.HeightM, HeightBM: b.HeightM, ReckonedAM: e.a.heightM, ReckonedBM: e.b.heightM,
		KFactor: env.K, PessimisticK: env.PessimisticK, Warnings: rangeWarnings(f.DistM, env, a, b),
	}
	if m := unknownCoverM(p); m >= 1 {
		r.Warnings = append(r.Warnings, fmt.Sprintf("what stands on the ground is not known along %.0f m of the path: "+
			"nothing is added there", m))
	}
	if f.Verdict == Unknown {
		return r
	}
	piece := make([]Term, usualTerms+usualDoubts+2*(usualItems+usualNoise))
	cut := func(n int) []Term {
		part := piece[:0:n]
		piece = piece[n:]
		return part
	}
	r.GroundAM, r.GroundBM = p.HeightM[0], p.HeightM[len(p.HeightM)-1]
	r.Worst, r.HasWorst, r.WorstAt = f.Worst, f.HasWorst, f.WorstAt
	if e.sight.ClutterM != nil {
		r.StandsM = append(r.StandsM, e.sight.ClutterM...)
		if r.HasWorst {
			r.WorstStandsM = r.StandsM[r.Worst.Index]
		}
	}
	if median := f.MarginDB + e.loss.time; median < 0 {
		r.TimePercentHeld = e.heldSeldom(median)
	}
	e.loss.path.Complete(&e.loss.diffraction)
	r.Diffraction, r.Terms = e.loss.diffraction, e.loss.terms(cut(usualTerms), a, b, &e.on)
	if r.Path == diffraction.PathBlocked {
		r.Obstacles = w.ground.Obstacles(&e.sight, e.skipM)
	}
	if len(r.Obstacles) == 1 {
		o := r.Obstacles[0].Worst
		edge := diffraction.Edge{HeightM: -o.ClearanceM, D1M: o.AtM, D2M: f.DistM - o.AtM, WavelengthM: e.sight.WavelengthM}
		db := diffraction.KnifeEdgeExact(edge.Nu())
		r.SingleEdgeDB = &db
	}
	if r.Diffraction.LineOfSight {
		r.Reflection = e.reflected()
	}
	both := &e.both
	r.Forward = both.direction(&f.Forward, cut(usualItems), cut(usualNoise), e.a, e.b, both.gainA, both.gainB,
		both.calibrated.ForwardDB)
	r.Backward = both.direction(&f.Backward, cut(usualItems), cut(usualNoise), e.b, e.a, both.gainB, both.gainA,
		both.calibrated.BackwardDB)
	if env.Calibration != nil {
		known := both.calibrated
		r.Calibrated = &known
	}
	r.Doubt = w.list(cut(usualDoubts), &e.doubts, f.Situation, a, b)
	return r
}

// minClearanceSkipM is left out at both ends when the worst clearance is
// reported, as F1 shrinks to nothing at an antenna; between the two limits it is the mean
// step. Engineering judgement.
const (
	minClearanceSkipM = 50
	maxClearanceSkipM = 100 // posts of 3" are no farther apart
)

// elevationDeg is the angle of the other antenna over the effective earth:
// atan((hB-hA)/d - d/(2 ae)), the form of ITU-R P.1812-6 eq (77).
func elevationDeg(distM, aHeightM, bHeightM, effectiveRadiusM float64) float64 {
	return math.Atan((bHeightM-aHeightM)/distM-distM/(2*effectiveRadiusM)) * 180 / math.Pi
}

func verdict(probability, wantPercent float64) Verdict {
	switch {
	case probability*100 >= wantPercent:
		return Reaches
	case probability >= 0.5:
		return Marginal
	}
	return Short
}

func countFilled(flags []terrain.Flag) (n int32) {
	for _, f := range flags {
		if f == terrain.Filled {
			n++
		}
	}
	return n
}
