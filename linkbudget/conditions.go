package linkbudget

import (
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
)

// conditions are an environment with its defaults and all that follows from it
// alone, for the paths on which the defaults are the same.
type conditions struct {
	env                   Environment // with defaults
	wavelengthM           float64
	radiusM, otherRadiusM float64 // effective earth radius at K and at PessimisticK
	// scatterDB is the loss by troposcatter over 1 m without angle, but for the refractivity.
	scatterDB DB
	trees     clutter.Trees
}

func newConditions(given *Environment, distM float64) conditions {
	c := conditions{env: given.withDefaults(distM)}
	c.wavelengthM = radio.WavelengthM(c.env.FreqHz)
	c.radiusM, c.otherRadiusM = radio.EffectiveRadiusM(c.env.K), radio.EffectiveRadiusM(c.env.PessimisticK)
	scatter := diffraction.Troposcatter{
		DistM: 1, FreqHz: c.env.FreqHz, EffectiveRadiusM: c.radiusM,
		AHorizonRad: -1 / c.radiusM, SurfaceRefractivity: 325, TimePercent: 50,
	}
	c.scatterDB = scatter.Loss() + diffraction.ScatterRefractivityGain(scatter.SurfaceRefractivity)
	c.trees = clutter.TreesAt(c.env.FreqHz)
	return c
}

// scatterAt is scatterDB with the refractivity stated, or else that of the latitude.
func (c *conditions) scatterAt(latDeg float64) DB {
	n0 := c.env.SurfaceRefractivity
	if n0 == 0 {
		n0 = radio.SurfaceRefractivity(latDeg)
	}
	return c.scatterDB - diffraction.ScatterRefractivityGain(n0)
}

// preparedEnvironment holds the conditions of an environment.
type preparedEnvironment struct {
	given     Environment
	near, far conditions // up to subRefractionFromM and beyond
	ready     bool
}

// prepare makes e that of a valid environment.
func (e *preparedEnvironment) prepare(given *Environment) {
	if e.ready && e.given == *given {
		return
	}
	e.given, e.ready = *given, true
	e.near, e.far = newConditions(given, 0), newConditions(given, 2*subRefractionFromM)
}

func (e *preparedEnvironment) conditions(distM float64) *conditions {
	if distM > subRefractionFromM {
		return &e.far
	}
	return &e.near
}

// PreparedStation is a station with what does not depend on the path worked out
// once, for the environment of the [Evaluator] that prepared it. The station must
// stay as it is. It is only read by Survey, so that the Evaluators of several goroutines may
// share it.
type PreparedStation struct {
	station *Station
	// outDBm is what would leave the main lobe of an antenna on top of its mast.
	outDBm   DBm
	feeds    [3]DB   // what feed line, cable and mismatch add, not above 0
	mast     DB      // likewise
	hardware DB      // likewise
	floorDBm DBm     // noise at the receiver
	needsDBm DBm     // sensitivity
	around   endLoss // but in a town
	town     bool
	told     bool    // a cover tells what stands around it, not the plan
	heightM  float64 // from which the path is reckoned
}

// end is what the surroundings cost on a path of distM.
func (p *PreparedStation) end(distM float64, env *Environment) endLoss {
	if p.town {
		return p.station.endLoss(distM, env)
	}
	return p.around
}

// prepare makes p that of a valid station.
func (p *PreparedStation) prepare(s *Station, env *Environment) {
	*p = PreparedStation{station: s, hardware: -s.HardwareDB, town: s.inTown(env)}
	p.around, p.heightM = s.endLoss(0, env), s.ReckonedM(*env)
	p.feeds[0] = -s.FeedLossDB
	if cable, err := s.Feeder.Loss(env.FreqHz); err == nil {
		p.feeds[1] = -cable
	}
	if s.VSWR > 1 {
		if mismatch, err := antenna.MismatchLoss(s.VSWR); err == nil {
			p.feeds[2] = -mismatch
		}
	}
	// In the order in which Direction lists them: not even the last digit differs.
	p.outDBm = s.TxDBm.Add(p.feeds[0]).Add(p.feeds[1]).Add(p.feeds[2]).Add(s.Antenna.PeakDBi)
	if s.SideMounted {
		p.mast = -antenna.SideMountPenalty
	}
	p.floorDBm = s.noise(env).floor()
	p.needsDBm = p.floorDBm.Add(env.Modem.RequiredSNR())
}

// receives returns what arrives at the receiver of a level at its antenna.
func (p *PreparedStation) receives(level DBm, gain DB) DBm {
	peak := p.station.Antenna.PeakDBi
	return level.Add(p.feeds[0]).Add(p.feeds[1]).Add(p.feeds[2]).Add(peak).Add(gain - peak).Add(p.mast).Add(p.hardware)
}
