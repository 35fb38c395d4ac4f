package linkbudget

import (
	"errors"
	"math"

	"github.com/polereach/polereach/terrain"
)

// Evaluate computes the budget of the path p from a to b, both directions.
//
// The median loss is free space over the slant distance plus delta-Bullington
// diffraction, with troposcatter as a ceiling (ITU-R P.1812-6 §4.2 to 4.5).
// A path with an unknown height gives a Result with Verdict Unknown and the
// Gaps, not an error. Errors list every fault of the input at once.
func Evaluate(p terrain.Profile, a, b Station, env Environment) (Result, error) {
	if err := errors.Join(p.Validate(), a.Validate(), b.Validate(), env.Validate(), env.Contradictions(a, b)); err != nil {
		return Result{}, err
	}
	w := workspaces.Get().(*workspace)
	var r Result
	err := w.evaluate(&r, &p, &a, &b, &env)
	w.release()
	workspaces.Put(w)
	return r, err
}

// evaluate is Evaluate for valid input; it writes over r and the memory of its
// slices.
func (w *workspace) evaluate(r *Result, p *terrain.Profile, a, b *Station, given *Environment) error {
	distM := p.LengthM()
	env := given.withDefaults(distM)
	memory := r.memory()
	*r = Result{
		From: a.Name, To: b.Name, DistM: distM,
		AzimuthDeg: p.AzimuthDeg, BackAzimuthDeg: p.BackAzimuthDeg,
		HeightAM: a.HeightM, HeightBM: b.HeightM, KFactor: env.K, Cover: env.Cover,
		Warnings: rangeWarnings(distM, &env, a, b),
	}
	if r.Gaps = p.Unknown(); len(r.Gaps) > 0 {
		r.Verdict = Unknown
		return nil
	}
	memory.make()
	r.FilledPoints = countFilled(p.Flags)
	last := len(p.HeightM) - 1
	r.GroundAM, r.GroundBM = p.HeightM[0], p.HeightM[last]

	sight := sightline(p, a, b, &env)
	r.ElevationDeg = elevationDeg(distM, sight.AHeightM, sight.BHeightM, sight.EffectiveRadiusM)
	r.BackElevationDeg = elevationDeg(distM, sight.BHeightM, sight.AHeightM, sight.EffectiveRadiusM)
	skipM := math.Max(distM/float64(last), minClearanceSkipM)

	loss := medianLoss(p, &sight, a, b, &env, &w.ground)
	r.clearance(p, &sight, &w.ground, skipM)
	r.Diffraction, r.Terms, r.LossDB = loss.diffraction, loss.terms(memory.terms), loss.total
	if len(r.Obstacles) == 1 {
		o := r.Obstacles[0].Worst
		edge := Edge{HeightM: -o.ClearanceM, D1M: o.AtM, D2M: distM - o.AtM, WavelengthM: sight.WavelengthM}
		db := KnifeEdgeExact(edge.Nu())
		r.SingleEdgeDB = &db
	}
	if r.Diffraction.LineOfSight {
		r.Reflection = reflected(p, &sight, &w.ground, shared(a, b), skipM)
	}
	r.Situation = situation(r.Path, r.Diffraction)

	both, err := newEnds(r, a, b, &env)
	if err != nil {
		*r = Result{}
		return err
	}
	both.forward(&r.Forward, memory.forward)
	both.backward(&r.Backward, memory.backward)
	r.MarginDB = r.Weaker().MarginDB
	r.Doubt = w.doubt(memory.doubt, r, &sight, &loss, a, b, &env)
	r.Probability = r.Doubt.Probability(r.MarginDB)
	r.Verdict = verdict(r.Probability, env.WantPercent)
	r.Pessimistic = pessimistic(&loss, sight, env, r.MarginDB+r.LossDB, skipM)
	r.Pessimistic.Probability = r.Doubt.Probability(r.Pessimistic.MarginDB)
	return nil
}

// clearance finds the worst point and, on a blocked path, the obstacles.
func (r *Result) clearance(p *terrain.Profile, sight *Sightline, ground *relief, skipM float64) {
	if r.Worst, r.HasWorst = ground.worst(sight, skipM); r.HasWorst && p.Points != nil {
		at := p.Points[r.Worst.Index]
		r.WorstAt = Place{LonDeg: at.Lon(), LatDeg: at.Lat(), Known: true}
	}
	r.Path = pathClass(r.Worst, r.HasWorst)
	if r.Path == PathBlocked {
		r.Obstacles = ground.obstacles(sight, skipM)
	}
}

// minClearanceSkipM is left out at both ends when the worst clearance is
// reported: F1 shrinks to nothing at an antenna, so the nearest point would
// always be the worst. Diffraction uses every point. Engineering judgement.
const minClearanceSkipM = 50

func sightline(p *terrain.Profile, a, b *Station, env *Environment) Sightline {
	last := len(p.HeightM) - 1
	return Sightline{
		DistM: p.DistM, GroundM: p.HeightM, ClutterM: CoverHeights(p.DistM, env.Cover),
		AHeightM:         p.HeightM[0] + a.HeightM,
		BHeightM:         p.HeightM[last] + b.HeightM,
		EffectiveRadiusM: EffectiveRadiusM(env.K),
		WavelengthM:      WavelengthM(env.FreqHz),
	}
}

// elevationDeg is the angle of the other antenna over the effective earth:
// atan((hB-hA)/d - d/(2 ae)), the form of ITU-R P.1812-6 eq (77).
func elevationDeg(distM, aHeightM, bHeightM, effectiveRadiusM float64) float64 {
	return math.Atan((bHeightM-aHeightM)/distM-distM/(2*effectiveRadiusM)) * 180 / math.Pi
}

func pathClass(worst Clearance, ok bool) PathClass {
	if !ok {
		return PathClear
	}
	return Classify(worst.Fraction)
}

// pessimistic repeats the path at the other k. margin + loss of the verdict
// is the weaker direction's budget, which does not depend on k.
func pessimistic(m *median, sight Sightline, env Environment, budget DB, skipM float64) RefractionCase {
	env.K = env.PessimisticK
	c := RefractionCase{K: env.K}
	sight.EffectiveRadiusM = EffectiveRadiusM(env.K)
	c.Path = m.relief.class(&sight, skipM)
	c.LossDB = m.overEarth(&sight, &env)
	c.MarginDB = budget - c.LossDB
	return c
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

func countFilled(flags []terrain.Flag) int {
	n := 0
	for _, f := range flags {
		if f == terrain.Filled {
			n++
		}
	}
	return n
}
