package linkbudget

import (
	"fmt"
	"math"

	"github.com/polereach/polereach/terrain"
)

// median is the median basic transmission loss and its parts.
type median struct {
	path        DiffractionPath
	freeSpace   DB
	diffraction Diffraction
	relief      *relief
	horizons    horizonPair // of both antennas, found only where something asked
	asked       bool
	atA, atB    reliefPoint // what decides the edge behind an obstacle
	scatter     DB          // what troposcatter takes off, at least 0
	clutter     []Term      // what stands around the ends
	total       DB
}

// medianLoss follows ITU-R P.1812-6: eq (8) free space over the slant
// distance, eq (39) delta-Bullington, eq (42) their sum, eq (44) troposcatter
// at 50 % of time, eq (63) the combination of both. Ducting and the
// low-percentage terms of the Recommendation are left out: they only lower
// the loss for small percentages of time. The clutter terms of both ends come
// on top.
//
// The relief is gathered here, and stands for this path until the next one.
func medianLoss(p *terrain.Profile, sight *Sightline, a, b *Station, env *Environment, ground *relief) median {
	m := median{
		path: DiffractionPath{
			DistM: p.DistM, GroundM: p.HeightM, ClutterM: sight.ClutterM,
			AHeightM: a.HeightM, BHeightM: b.HeightM,
			EffectiveRadiusM: sight.EffectiveRadiusM, FreqHz: env.FreqHz,
			Polarisation: shared(a, b),
		},
		relief: ground,
	}
	distM := p.LengthM()
	ground.gather(&m.path)
	m.diffraction, m.atA, m.atB = ground.diffraction(&m.path)
	m.freeSpace = FreeSpace(SlantM(distM, sight.AHeightM, sight.BHeightM), env.FreqHz)
	m.clutter = clutterTerms(clutterTerms(nil, a, distM, env), b, distM, env)
	m.sum(sight, env)
	return m
}

// sum adds up the total.
func (m *median) sum(sight *Sightline, env *Environment) {
	m.scatter, m.total = 0, m.freeSpace+m.diffraction.LossDB
	m.troposcatter(sight, env)
	for _, t := range m.clutter {
		m.total += t.DB
	}
}

// overEarth is the total over another earth radius; m stays as it is.
func (m *median) overEarth(sight *Sightline, env *Environment) DB {
	other := *m
	other.asked = false
	there := m.relief.loss(&m.path, sight.EffectiveRadiusM, 0)
	other.diffraction.LossDB, other.diffraction.LineOfSight = there.loss, !there.blocked
	other.atA, other.atB = there.a, there.b
	other.sum(sight, env)
	return other.total
}

// shared is the polarisation that the ground sees: horizontal when both
// antennas are. With crossed antennas the loss between them dwarfs the
// difference, which is below 0.1 dB over land.
func shared(a, b *Station) Polarisation {
	if a.Polarisation == Horizontal && b.Polarisation == Horizontal {
		return Horizontal
	}
	return Vertical
}

// troposcatter combines the loss so far with that of troposcatter, which
// matters beyond the horizon only and far below free space: the horizons are
// looked for only where the least that scatter can lose, with both horizons
// level, would still change what is printed.
func (m *median) troposcatter(sight *Sightline, env *Environment) {
	if m.diffraction.LineOfSight {
		return
	}
	distM := m.relief.lengthM
	scatter := Troposcatter{
		DistM: distM, FreqHz: env.FreqHz, EffectiveRadiusM: sight.EffectiveRadiusM,
		SurfaceRefractivity: env.SurfaceRefractivity, TimePercent: 50,
	}
	// The sum of the horizon angles is least, minus the curvature over the
	// distance, where the ray just grazes: no angular distance at all.
	scatter.AHorizonRad = -distM / sight.EffectiveRadiusM
	if !scatterTells(m.total, scatter.Loss()) {
		return
	}
	h := m.horizonsOf(sight)
	scatter.AHorizonRad, scatter.BHorizonRad = h.aRad, h.bRad
	if loss := scatter.Loss(); scatterTells(m.total, loss) {
		combined := CombineTroposcatter(m.total, loss)
		m.scatter, m.total = m.total-combined, combined
	}
}

// scatterTells reports whether troposcatter takes leastScatterDB off a loss. From
// 19 dB more on, 5 log(1 + 10^(-0.2·19)) = 0.0003 dB, it does not.
func scatterTells(loss, scatter DB) bool {
	return scatter-loss < 19 && loss-CombineTroposcatter(loss, scatter) >= leastScatterDB
}

// horizonPair is what Sightline.HorizonAngles returns.
type horizonPair struct{ aRad, bRad, aAtM, bAtM float64 }

// horizonsOf finds the horizons once per path.
func (m *median) horizonsOf(sight *Sightline) horizonPair {
	if m.asked {
		return m.horizons
	}
	h := &m.horizons
	m.asked = true
	if !m.diffraction.LineOfSight && sight.ClutterM == nil {
		// On bare ground the steepest points over the ray are the horizons.
		*h = sight.horizonsAt(m.atA, m.atB)
	} else {
		h.aRad, h.bRad, h.aAtM, h.bAtM = sight.HorizonAngles()
	}
	return *h
}

// horizonsAt is what HorizonAngles returns when the horizons are known to be the
// ground at two points.
func (s *Sightline) horizonsAt(a, b reliefPoint) horizonPair {
	curve := halfCurvature(s.EffectiveRadiusM)
	return horizonPair{
		aRad: math.Atan((s.GroundM[a.i] - s.AHeightM - a.xM*a.xM*curve) / a.xM),
		bRad: math.Atan((s.GroundM[b.i] - s.BHeightM - b.yM*b.yM*curve) / b.yM),
		aAtM: a.xM, bAtM: b.xM,
	}
}

// leastScatterDB keeps troposcatter out of the list where it changes nothing
// that is printed.
const leastScatterDB DB = 0.0005

func (m *median) terms(terms []Term) []Term {
	terms = append(terms,
		Term{"free space", m.freeSpace, "ITU-R P.525-4 §2.3, slant distance"},
		Term{"diffraction", m.diffraction.LossDB, "ITU-R P.526-15 §4.5.2, delta-Bullington"})
	if m.scatter > 0 {
		terms = append(terms, Term{"troposcatter", -m.scatter, "ITU-R P.1812-6 §4.4 eq (44), (63)"})
	}
	return append(terms, m.clutter...)
}

// clutterTerms appends what the surroundings of one end cost; contradictions
// have been refused before.
func clutterTerms(terms []Term, s *Station, distM float64, env *Environment) []Term {
	add := func(what string, loss DB, source string) {
		if loss > 0 {
			terms = append(terms, Term{what + " at " + s.Name, loss, source})
		}
	}
	around := s.Surroundings
	if around.Inside > ClutterOpen {
		t := TerminalClutter{Clutter: around.Inside, HeightM: s.HeightM, FreqHz: env.FreqHz, TopM: around.TopM}
		add("clutter ("+around.Inside.String()+")", t.Loss(), "ITU-R P.2108-1 §3.1")
	}
	if around.WoodM > 0 {
		if loss, err := (Woodland{DepthM: around.WoodM, FreqHz: env.FreqHz}).Loss(); err == nil {
			add("wood", loss, "ITU-R P.833-10 §2.1")
		}
	}
	if env.TownPercent != 0 {
		town := StatisticalClutter{DistM: math.Max(distM, 250), FreqHz: env.FreqHz, Percent: env.TownPercent}
		if loss, err := town.Loss(); err == nil {
			add("town", loss, "ITU-R P.2108-1 §3.2")
		}
	}
	return terms
}

// CoverHeights returns the heights that a clutter class adds to the points of
// a profile at distances distM, m, or nil for a class that adds none. It keeps
// clear of both ends by 50 m: ITU-R P.452-18, where the Recommendation fits a
// terminal into land cover of high resolution.
func CoverHeights(distM []float64, cover Clutter) []float64 {
	height := cover.RepresentativeHeightM()
	if height == 0 {
		return nil
	}
	const clearM = 50
	lengthM := distM[len(distM)-1]
	out := make([]float64, len(distM))
	for i, d := range distM {
		if d >= clearM && lengthM-d >= clearM {
			out[i] = height
		}
	}
	return out
}

// rangeWarnings says where the path lies outside the range that ITU-R
// P.1812-6 states for itself: 0.25 to 3000 km, antennas 1 to 3000 m above ground.
func rangeWarnings(distM float64, env *Environment, ends ...*Station) []string {
	var w []string
	if distM < 250 {
		w = append(w, fmt.Sprintf("path of %.0f m is shorter than the 250 m from which ITU-R P.1812 is stated to hold", distM))
	}
	if distM < 1000 && env.TownPercent != 0 {
		w = append(w, fmt.Sprintf("path of %.0f m is shorter than the 1 km from which ITU-R P.2108 §3.2 holds for both ends", distM))
	}
	for _, s := range ends {
		if s.HeightM < 1 {
			w = append(w, fmt.Sprintf("antenna of %q at %g m is lower than the 1 m from which ITU-R P.1812 is stated to hold", s.Name, s.HeightM))
		}
	}
	return w
}
