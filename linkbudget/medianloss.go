package linkbudget

import (
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// median is the median basic transmission loss of a path and its parts.
type median struct {
	conditions  *conditions
	path        diffraction.Path
	relief      *diffraction.Relief
	distM       float64
	freeSpace   DB
	diffraction diffraction.Loss
	scatter     DB    // what troposcatter takes off, at least 0
	leastDB     DB    // loss by troposcatter with both horizons level with the chord
	ends        [2]DB // what stands around A and B
	time        DB    // what its share of time adds, see Environment.TimePercent
	total       DB
}

// find computes the loss, after ITU-R P.1812-6: eq (8) free space over the slant
// distance, eq (39) delta-Bullington, eq (42) their sum, eq (44) troposcatter
// at 50 % of time, eq (63) the combination of both. Ducting is left out, which
// tells at small percentages of time only, see inTime. The clutter terms of both ends
// come on top.
//
// The relief is gathered here, and stands for this path until the next one.
func (m *median) find(sight *diffraction.Sightline, a, b *PreparedStation, c *conditions, ground *diffraction.Relief) {
	*m = median{
		conditions: c,
		path: diffraction.Path{
			DistM: sight.DistM, GroundM: sight.GroundM, ClutterM: sight.ClutterM,
			AHeightM: a.heightM, BHeightM: b.heightM,
			EffectiveRadiusM: sight.EffectiveRadiusM, FreqHz: c.env.FreqHz,
			Polarisation: shared(a.station, b.station),
		},
		relief: ground, distM: sight.DistM[len(sight.DistM)-1],
	}
	ground.Gather(&m.path, c.env.Terrain)
	distM := m.distM
	steepest := ground.DeltaBullington(&m.diffraction, &m.path)
	m.freeSpace = radio.FreeSpace(radio.SlantM(distM, sight.AHeightM, sight.BHeightM), c.env.FreqHz)
	m.ends = [2]DB{a.end(distM, &c.env).lossDB, b.end(distM, &c.env).lossDB}
	m.total = m.freeSpace + m.diffraction.LossDB
	if !m.diffraction.LineOfSight {
		m.leastDB = c.scatterDB + DB(20*math.Log10(distM))
		m.total, m.scatter = m.scattered(m.total, sight, steepest)
	}
	m.total = m.cluttered(m.total)
}

// cluttered adds what stands around the ends.
func (m *median) cluttered(loss DB) DB { return loss + m.ends[0] + m.ends[1] }

// overEarth is the total over another earth radius, that of the sight line; its share of
// time adds what it adds over the median earth.
func (m *median) overEarth(sight *diffraction.Sightline) DB {
	loss, steepest, blocked := m.relief.LossOver(&m.path, sight.EffectiveRadiusM)
	total := m.freeSpace + loss
	if blocked {
		if m.diffraction.LineOfSight {
			m.leastDB = m.conditions.scatterDB + DB(20*math.Log10(m.distM))
		}
		total, _ = m.scattered(total, sight, steepest)
	}
	return m.cluttered(total) + m.time
}

// shared is the polarisation that the ground sees: horizontal when both
// antennas are. With crossed antennas the loss between them dwarfs the
// difference, which is below 0.1 dB over land.
func shared(a, b *Station) radio.Polarisation {
	if a.Polarisation == radio.Horizontal && b.Polarisation == radio.Horizontal {
		return radio.Horizontal
	}
	return radio.Vertical
}

// scattered combines a loss behind horizons, with the steepest ground before them,
// with that of troposcatter, and returns what that takes off. The horizons are looked at
// only where the least that scatter can lose would still change what is printed.
func (m *median) scattered(loss DB, sight *diffraction.Sightline, s diffraction.Slopes) (combined, off DB) {
	if !scatterTells(loss, m.leastDB) {
		return loss, 0
	}
	t := diffraction.Troposcatter{DistM: m.distM, EffectiveRadiusM: sight.EffectiveRadiusM}
	if sight.ClutterM == nil {
		a, b := sight.HorizonRises(s)
		t.AHorizonRad, t.BHorizonRad = math.Atan(a), math.Atan(b)
	} else { // only bare ground counts
		t.AHorizonRad, t.BHorizonRad, _, _ = sight.HorizonAngles()
	}
	scatter := m.leastDB + diffraction.ScatterAngleLoss(t.AngularDistanceRad())
	if !scatterTells(loss, scatter) {
		return loss, 0
	}
	combined = diffraction.CombineTroposcatter(loss, scatter)
	return combined, loss - combined
}

// scatterTells reports whether troposcatter takes leastScatterDB off a loss: by
// eq (63) where it loses no more than -5 log(10^(leastScatterDB/5) - 1) in addition.
func scatterTells(loss, scatter DB) bool { return scatter-loss <= scatterWithinDB }

var scatterWithinDB = DB(-5 * math.Log10(math.Pow(10, float64(leastScatterDB)/5)-1))

// leastScatterDB keeps troposcatter out of the list where it changes nothing
// that is printed.
const leastScatterDB DB = 0.0005

func (m *median) terms(terms []Term, a, b *Station) []Term {
	terms = append(terms,
		Term{"free space", m.freeSpace, "ITU-R P.525-4 §2.3, slant distance"},
		Term{"diffraction", m.diffraction.LossDB, "ITU-R P.526-15 §4.5.2, delta-Bullington"})
	if m.scatter > 0 {
		terms = append(terms, Term{"troposcatter", -m.scatter, "ITU-R P.1812-6 §4.4 eq (44), (63)"})
	}
	for i, s := range [2]*Station{a, b} {
		if m.ends[i] != 0 {
			terms = append(terms, s.endTerm(m.ends[i], &m.conditions.env))
		}
	}
	if m.time != 0 {
		terms = append(terms, m.timeTerm())
	}
	return terms
}

// ProfileClutter returns what stands on the points of a profile, m above the ground:
// its tops where it has them, else that of the class; nil for nothing.
func ProfileClutter(p *terrain.Profile, cover clutter.Class) []float64 {
	switch {
	case p == nil:
		return nil
	case p.TopM == nil || len(p.TopM) != len(p.HeightM):
		return CoverHeights(p.DistM, cover)
	}
	out := make([]float64, len(p.TopM))
	for i := 1; i < len(out)-1; i++ {
		out[i] = p.TopM[i] - p.HeightM[i]
	}
	return out
}

// CoverHeights returns the heights that a clutter class adds to the points of
// a profile at distances distM, m, or nil for a class that adds none. It keeps
// clear of both ends by 50 m: ITU-R P.452-18, where the Recommendation fits a
// terminal into land cover of high resolution.
func CoverHeights(distM []float64, cover clutter.Class) []float64 {
	height := cover.RepresentativeHeightM()
	if height == 0 || len(distM) == 0 {
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
	town := 0
	for _, s := range ends {
		if s.inTown(env) {
			town++
		}
	}
	if distM < 250 {
		w = append(w, fmt.Sprintf("path of %.0f m is shorter than the 250 m from which ITU-R P.1812 is stated to hold",
			distM))
	}
	if distM < 1000 && town == 2 {
		w = append(w, fmt.Sprintf("path of %.0f m is shorter than the 1 km from which ITU-R P.2108 §3.2 holds for both ends",
			distM))
	}
	for _, s := range ends {
		if s.HeightM < 1 {
			w = append(w, fmt.Sprintf("antenna of %q at %g m is lower than the 1 m from which ITU-R P.1812 is stated to hold",
				s.Name, s.HeightM))
		}
	}
	return w
}
