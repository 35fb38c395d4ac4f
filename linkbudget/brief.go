package linkbudget

import (
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/terrain"
)

// Brief is a [Result] without its lists: what a survey of many paths finds of each.
type Brief struct {
	Figures
	// Worst is the point of least relative clearance and its place; it is not
	// set (HasWorst false) on a path without inner points away from the ends.
	Worst    diffraction.Clearance
	HasWorst bool
	WorstAt  Place
	// Gaps are the stretches without a known height.
	Gaps []terrain.Gap
}

// evaluation is one path under evaluation: what brief leaves for the lists of a
// Result.
type evaluation struct {
	path
	ground diffraction.Relief
	on     standing
}

// path is what an evaluation holds of its path.
type path struct {
	profile    *terrain.Profile
	a, b       *PreparedStation
	conditions *conditions
	sight      diffraction.Sightline
	skipM      float64 // at both ends, of clearances
	loss       median
	resolved   [2]resolved // ends that the cover says more of
	both       ends
	doubts     doubts
	reflection *Reflection // once asked
	asked      bool
}

// brief fills in f, which must be empty, for a valid profile; not Delivery.
func (e *evaluation) brief(f *Brief, p *terrain.Profile, a, b *PreparedStation, c *conditions) {
	e.profile, e.a, e.b, e.conditions = p, a, b, c
	e.reflection, e.asked = nil, false
	f.DistM, f.AzimuthDeg, f.BackAzimuthDeg = p.LengthM(), p.AzimuthDeg, p.BackAzimuthDeg
	if !allGround(p.Flags) {
		if f.Gaps = p.Unknown(); len(f.Gaps) > 0 {
			f.Verdict = Unknown
			return
		}
		f.FilledPoints = countFilled(p.Flags)
	}
	last := len(p.HeightM) - 1
	if p.Standing != nil {
		a, b = e.resolved[0].of(a, p.Standing[0], &c.env), e.resolved[1].of(b, p.Standing[last], &c.env)
		e.a, e.b = a, b
	}
	e.skipM = min(max(f.DistM/float64(last), minClearanceSkipM), maxClearanceSkipM)
	s := &e.sight // field by field: a struct just written is slow to copy
	s.DistM, s.GroundM = p.DistM, p.HeightM
	s.AHeightM, s.BHeightM = p.HeightM[0]+a.heightM, p.HeightM[last]+b.heightM
	s.EffectiveRadiusM, s.WavelengthM = c.radiusM, c.wavelengthM
	f.ElevationDeg = elevationDeg(f.DistM, e.sight.AHeightM, e.sight.BHeightM, c.radiusM)
	f.BackElevationDeg = elevationDeg(f.DistM, e.sight.BHeightM, e.sight.AHeightM, c.radiusM)

	m := &e.loss
	e.on.find(p, a, b, &c.env)
	m.find(&e.sight, a, b, c, &e.ground, &e.on)
	e.inTime()
	f.FreeSpaceDB, f.DiffractionDB, f.TroposcatterDB, f.LossDB = m.freeSpace, m.diffraction.LossDB, -m.scatter, m.total
	f.ClutterDB = m.cluttered(0) + m.once + m.through
	if f.HasWorst = e.ground.Worst(&f.Worst, &e.sight, e.skipM); f.HasWorst && p.Points != nil {
		at := p.Points[f.Worst.Index]
		f.WorstAt = Place{LonDeg: at.Lon(), LatDeg: at.Lat(), Known: true}
	}
	if f.Path = diffraction.PathClear; f.HasWorst {
		f.Path = diffraction.Classify(f.Worst.Fraction)
	}
	f.Situation = situation(f.Path, &m.diffraction)

	e.both.find(f, a, b, &c.env, p.Points)
	known := &e.both.calibrated
	e.both.level(&f.Forward, a, b, e.both.gainA, e.both.gainB, known.ForwardDB)
	e.both.level(&f.Backward, b, a, e.both.gainB, e.both.gainA, known.BackwardDB)
	f.MarginDB = f.Weaker().MarginDB
	e.doubt(f)
	f.Probability = f.Chance(f.MarginDB)
	f.Verdict = verdict(f.Probability, c.env.WantPercent)
	e.pessimistic(f)
	if median := f.MarginDB + m.time; median >= 0 {
		f.TimePercentHeld = e.heldMostly(median)
	}
}

// pessimistic repeats the path at the other k. margin + loss of the verdict
// is the weaker direction's budget, which does not depend on k.
func (e *evaluation) pessimistic(f *Brief) {
	e.sight.EffectiveRadiusM = e.conditions.otherRadiusM
	f.PessimisticPath = e.ground.Class(&e.sight, e.skipM)
	f.PessimisticMarginDB = f.MarginDB + f.LossDB - e.loss.overEarth(&e.sight)
	f.PessimisticProbability = f.Chance(f.PessimisticMarginDB)
	e.sight.EffectiveRadiusM = e.conditions.radiusM
}

// reflected is the reflection of a path with line of sight, nil without.
func (e *evaluation) reflected() *Reflection {
	if !e.asked && e.loss.diffraction.LineOfSight {
		e.reflection, _ = reflected(e.profile, &e.sight, &e.ground, e.loss.path.Polarisation, e.skipM)
		e.asked = true
	}
	return e.reflection
}

// allGround reports whether every height is known as it is; no flags count so.
func allGround(flags []terrain.Flag) bool {
	var any terrain.Flag
	for _, f := range flags {
		any |= f
	}
	return any == terrain.Ground
}
