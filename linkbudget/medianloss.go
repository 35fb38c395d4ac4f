package linkbudget

import (
	"fmt"
	"math"

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
	scatter     DB               // what troposcatter takes off, at least 0
	scatterDB   DB               // its loss over 1 m without angle
	leastDB     DB               // loss by troposcatter with both horizons level with the chord
	ends        [2]DB            // what stands around A and B
	time        DB               // what its share of time adds, see Environment.TimePercent
	sea         float64          // share of the path, once asked in time
	woods       [2]DB            // the woods at them, in the last pass
	through     DB               // the woods between that it passes through
	once        DB               // what counts twice otherwise, at most 0, see over
	open        [2]DB            // open country at A and B
	bare        diffraction.Loss // over the bare ground, and by how much its horizons rise
	slopes      diffraction.Slopes
	between     DB // what the other passes make of it, see standing
	coverDoubt  DB // half of what they differ by where the terrain may hold what stands
	total       DB
}

// find computes the loss, after ITU-R P.1812-6: eq (8) free space over the slant
// distance, eq (39) delta-Bullington, eq (42) their sum, eq (44) troposcatter
// at 50 % of time, eq (63) the combination of both. Ducting is left out, which
// tells at small percentages of time only, see inTime. The clutter terms of both ends
// come on top.
//
// The relief is gathered here, and stands for this path until the next one; of several
// passes it is that of the last.
func (m *median) find(sight *diffraction.Sightline, a, b *PreparedStation, c *conditions, ground *diffraction.Relief,
	on *standing) {
	*m = median{
		conditions: c,
		path: diffraction.Path{
			DistM: sight.DistM, GroundM: sight.GroundM, AHeightM: a.heightM, BHeightM: b.heightM,
			EffectiveRadiusM: sight.EffectiveRadiusM, FreqHz: c.env.FreqHz,
			Polarisation: shared(a.station, b.station),
		},
		relief: ground, distM: sight.DistM[len(sight.DistM)-1], scatterDB: c.scatterAt(latDeg(on.profile)),
	}
	m.freeSpace = radio.FreeSpace(radio.SlantM(m.distM, sight.AHeightM, sight.BHeightM), c.env.FreqHz)
	m.ends = [2]DB{a.end(m.distM, &c.env).lossDB, b.end(m.distM, &c.env).lossDB}
	for i, s := range [2]*PreparedStation{a, b} {
		if !s.town && !s.station.Surroundings.built() {
			m.open[i] = m.ends[i]
		}
	}
	m.relief.Gather(&m.path, c.env.Terrain)
	m.slopes = m.relief.DeltaBullington(&m.bare, &m.path)
	on.look(m, &c.env)
	var sum, layer DB
	for pass := on.passes() - 1; pass >= 0; pass-- {
		weight := DB(on.weight(pass))
		if weight == 0 {
			continue
		}
		m.over(sight, on, pass)
		sum += weight * m.total
		if pass&keepLayer != 0 {
			layer += weight * m.total
		}
	}
	m.between = sum - m.total
	m.total = sum
	if on.layered {
		m.coverDoubt = DB(math.Abs(float64(2*layer - sum)))
	}
}

// over is one pass. What stands on the profile and what open country costs at the ends are never both
// counted, but the larger one: ITU-R P.1812-6 §3.2 knows only the first (its official results add
// nothing at ends lower than what stands there), P.2108-1 §3.1 only the second. An end around which a wood
// is counted has its own rule, see atWood: the deeper that wood, up to 50 m, the less of its open country
// is so replaced.
func (m *median) over(sight *diffraction.Sightline, on *standing, pass int) {
	housesM, treesM := on.onProfile(pass)
	m.diffraction, m.scatter, m.woods, m.through, m.once = m.bare, 0, [2]DB{}, 0, 0
	sight.ClutterM = nil
	steepest := m.slopes
	var open DB
	for end := range m.open {
		share := 1.0
		if w := &on.ends[end]; w.is && pass&(keepA<<end) == 0 {
			share -= min((w.wood.FarM-w.wood.NearM)/terrain.AtWoodM, 1)
		}
		open += DB(share) * m.open[end]
	}
	if on.stands = on.stands[:0]; housesM != nil || treesM != nil {
		crest := m.bare.Crest(m.slopes)
		if housesM != nil {
			crest = m.relief.Raised(crest, housesM, on.spans, sight.WavelengthM)
		}
		if treesM != nil {
			on.stands = m.relief.Stands(on.stands, treesM, on.spans, crest, sight.WavelengthM)
		}
		for i := range on.stands {
			on.stands[i].ThroughDB = m.conditions.trees.Loss(on.stands[i].DepthM)
		}
		m.through, crest = m.path.Ways(&m.diffraction, on.stands, crest, m.bare.LossDB+open)
		steepest = crest.Slopes
		if pass == 0 { // which stays
			if on.later {
				sight.ClutterM = on.standLater(m.relief, crest)
			} else {
				sight.ClutterM = on.together(housesM, treesM)
				m.relief.Stand(sight.ClutterM)
			}
			m.path.ClutterM = sight.ClutterM
			steepest = m.relief.Again(&m.diffraction, &m.path)
		}
	}
	m.once = max(min(m.bare.LossDB-m.diffraction.LossDB, 0), -open)
	m.total = m.freeSpace + m.diffraction.LossDB + m.once + m.through
	if !m.diffraction.LineOfSight || m.through > 0 {
		m.leastDB = m.scatterDB + DB(20*math.Log10(m.distM))
		m.total, m.scatter = m.scattered(m.total, sight, &m.slopes)
	}
	climb := (sight.BHeightM - sight.AHeightM) / m.distM
	for end, slope := range [2]float64{climb + steepest.A, steepest.B - climb} {
		if w := &on.ends[end]; w.is && pass&(keepA<<end) == 0 {
			w.cost(on, end, sight, slope, m.ends[end], m.conditions)
			m.woods[end] = w.lossDB
		}
	}
	if on.same {
		m.sameWood(on)
	}
	m.total = m.cluttered(m.total)
}

// sameWood lets the trees of a wood around both ends count once: the ways out of it cost together no more than
// the way through all of it.
func (m *median) sameWood(on *standing) {
	less, more := &m.woods[0], &m.woods[1]
	if *less > *more {
		less, more = more, less
	}
	all := m.conditions.trees.Loss(m.distM - on.ends[0].wood.NearM - on.ends[1].wood.NearM)
	*less = min(*less, max(all-*more, 0))
}

// cluttered adds what stands around the ends.
func (m *median) cluttered(loss DB) DB {
	return loss + m.ends[0] + m.ends[1] + m.woods[0] + m.woods[1] + m.between
}

// overEarth is the total over another earth radius, that of the sight line; its share of
// time adds what it adds over the median earth.
func (m *median) overEarth(sight *diffraction.Sightline) DB {
	loss, steepest, blocked := m.relief.LossOver(&m.path, sight.EffectiveRadiusM)
	total := m.freeSpace + loss + m.once + m.through
	if blocked || m.through > 0 {
		m.leastDB = m.scatterDB + DB(20*math.Log10(m.distM))
		bare := &steepest
		if !blocked || sight.ClutterM != nil {
			bare = nil
		}
		total, _ = m.scattered(total, sight, bare)
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

// scattered combines a loss with that of troposcatter, which the steepest bare ground before both ends decides,
// nil for not known yet, and returns what that takes off. The horizons are looked at only where the least that
// scatter can lose would still change what is printed.
func (m *median) scattered(loss DB, sight *diffraction.Sightline, bare *diffraction.Slopes) (combined, off DB) {
	if !scatterTells(loss, m.leastDB) {
		return loss, 0
	}
	if bare == nil {
		s := m.relief.Bare(sight.EffectiveRadiusM)
		bare = &s
	}
	a, b := sight.HorizonRises(*bare)
	t := diffraction.Troposcatter{DistM: m.distM, EffectiveRadiusM: sight.EffectiveRadiusM,
		AHorizonRad: math.Atan(a), BHorizonRad: math.Atan(b)}
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

func (m *median) terms(terms []Term, a, b *Station, on *standing) []Term {
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
	for i, s := range [2]*Station{a, b} {
		if m.woods[i] != 0 {
			terms = append(terms, on.ends[i].term(s))
		}
	}
	switch {
	case m.between == 0:
	case on.layered:
		terms = append(terms, Term{"cover", m.between, "half of what it adds to the profile, as the terrain may hold it"})
	default:
		terms = append(terms, Term{"wood ahead", m.between, "its share on the profile, ITU-R P.1812-6 §3.2"})
	}
	if m.once < 0 {
		terms = append(terms, Term{"counted once", m.once,
			"open country or what stands on the profile, the larger: ITU-R P.1812-6 §3.2 or P.2108-1 §3.1"})
	}
	if m.through > 0 {
		depthM, woods := on.through()
		terms = append(terms, Term{"woods between", m.through, fmt.Sprintf("%.0f m through %d of them, ITU-R P.833-10 §2.1",
			depthM, woods)})
	}
	if m.time != 0 {
		terms = append(terms, m.timeTerm())
	}
	return terms
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
