package linkbudget

import "math"

// Doubt is how far the prediction may be off, itemised. The items are standard
// deviations in decibels of independent causes; their squares add up.
type Doubt struct {
	Items   []Term
	SigmaDB DB
}

func (d *Doubt) add(name string, sigma DB, source string) {
	if sigma == 0 {
		return
	}
	d.Items = append(d.Items, Term{name, sigma, source})
	d.SigmaDB = DB(math.Hypot(float64(d.SigmaDB), float64(sigma)))
}

// Probability returns the chance that a link with this median margin closes:
// Phi(margin/sigma). Fading in time is not part of it.
func (d Doubt) Probability(margin DB) float64 {
	if d.SigmaDB == 0 {
		if margin >= 0 {
			return 1
		}
		return 0
	}
	return Phi(float64(margin / d.SigmaDB))
}

// Leading returns the largest item, where the doubt mostly comes from.
func (d Doubt) Leading() Term {
	var most Term
	for _, item := range d.Items {
		if item.DB > most.DB {
			most = item
		}
	}
	return most
}

// Situation names the kind of path, which decides how good the model is.
type Situation string

// The four situations of the doubt.
const (
	SituationClear      Situation = "clear"            // 0.6 of the first Fresnel zone is free
	SituationLow        Situation = "low over flat"    // line of sight, antennas low over smooth ground
	SituationObstructed Situation = "obstructed"       // ground in the zone or in the line of sight
	SituationDeep       Situation = "deep in a shadow" // diffraction above 30 dB
)

const deepFromDB DB = 30

// modelSource is the source of the method's own doubt, put together here and
// not for every path.
func (s Situation) modelSource() string {
	const judgement = "engineering judgement, path "
	switch s {
	case SituationClear:
		return judgement + string(SituationClear)
	case SituationLow:
		return judgement + string(SituationLow)
	case SituationObstructed:
		return judgement + string(SituationObstructed)
	}
	return judgement + string(SituationDeep)
}

// situation classifies the path.
func situation(path PathClass, d Diffraction) Situation {
	switch {
	case d.LossDB > deepFromDB:
		return SituationDeep
	case path == PathClear && d.LossDB < telling:
		return SituationClear
	case d.LineOfSight && d.SphericalDB-d.SmoothDB > d.BullingtonDB:
		return SituationLow
	}
	return SituationObstructed
}

// modelDoubt is the standard deviation of the method itself: 3 dB on a clear
// path, 6 to 8 dB behind an obstacle, 8 to 10 dB in deep shadow, and 4.5 dB
// low over flat ground. Between the classes it grows with the diffraction
// loss, so that no small change of a path makes it jump. Engineering
// judgement, consistent with the residuals of 6 to 10 dB that comparisons of
// P.1812-type methods with measurements report (from memory).
func modelDoubt(s Situation, diffraction DB) DB {
	knots := [...]struct{ loss, sigma DB }{{0, 3}, {6, 6}, {deepFromDB, 8}, {50, 10}}
	sigma := knots[len(knots)-1].sigma
	for i := 1; i < len(knots); i++ {
		if lo, hi := knots[i-1], knots[i]; diffraction < hi.loss {
			sigma = lo.sigma + (hi.sigma-lo.sigma)*(diffraction-lo.loss)/(hi.loss-lo.loss)
			break
		}
	}
	if s == SituationLow {
		return min(sigma, lowOverFlatDoubt)
	}
	return sigma
}

// Standard deviations of the parts that do not depend on the path; engineering
// judgement.
const (
	lowOverFlatDoubt DB = 4.5 // the smooth-earth term meets two-ray within 1 to 2 dB, the ground is what is unsure
	hardwareDoubt    DB = 2   // antenna, cable and transmitter tolerance of both ends
	clutterDoubt     DB = 6   // each end that stands inside clutter
	coverDoubt       DB = 6   // a class height on the whole profile
)

// doubt collects the doubt of a path in the memory given: model, ripple, terrain, clutter and
// hardware. Ripple counts where a reflection is possible, its zone smooth by
// the Rayleigh criterion and open; elsewhere the reflected wave is in the
// diffraction term or scattered.
func (w *workspace) doubt(memory []Term, r *Result, sight *Sightline, m *median, a, b *Station, env *Environment) Doubt {
	d := Doubt{Items: memory}
	d.add("model", modelDoubt(r.Situation, r.Diffraction.LossDB), r.Situation.modelSource())
	open := env.Cover <= ClutterOpen && !a.Surroundings.cluttered() && !b.Surroundings.cluttered()
	if ref := r.Reflection; ref != nil && open && r.Path == PathClear && ref.Smooth && ref.Possible() {
		d.add("ripple", RippleSigma(ref.Rho), "two rays of unknown phase, propagation series of ln|1+rho e^(j phi)|")
	}
	d.add("terrain", terrainDoubt(m, sight, env.Terrain), w.sourceOfTerrain(env.Terrain.SigmaM))
	for _, s := range [2]*Station{a, b} {
		if sunken := s.sunken(); sunken > 0 {
			d.add("clutter at "+s.Name, clutterDoubt*DB(sunken), "engineering judgement")
		}
	}
	if env.Cover > ClutterOpen {
		d.add("cover", coverDoubt, "engineering judgement")
	}
	if env.TownPercent == 50 { // another share of places has the spread in the loss already
		if spread, err := (StatisticalClutter{DistM: math.Max(r.DistM, 250), FreqHz: env.FreqHz, Percent: 50}).Spread(); err == nil {
			d.add("town", spread*math.Sqrt2, "ITU-R P.2108-1 §3.2, both ends")
		}
	}
	d.add("hardware", hardwareDoubt, "engineering judgement")
	for _, s := range [2]*Station{a, b} {
		if s.SideMounted {
			d.add("beside its mast at "+s.Name, SideMountSigma, "engineering judgement")
		}
	}
	return d
}
