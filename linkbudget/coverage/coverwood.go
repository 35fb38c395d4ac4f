package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
)

// wayOut is how a path leaves a wood that begins nearM before an end and whose rim lies depthM from it, on a
// way of distM in all: heights of the antenna and of the trees at the rim above the datum; the slope of the
// ray, over the level; and how far that is below the trees where the wood begins.
type wayOut struct{ nearM, depthM, distM, antennaM, rimTopM, slope, lowM float64 }

// leaves is where the path leaves it, through the rim or before that through the tops, and how far the rim
// stands over the path there.
func (w *wayOut) leaves(curve float64) (depthM, rimM float64) {
	depthM = w.depthM
	rimM = w.rimTopM + curve*depthM*(w.distM-depthM) - w.antennaM - w.slope*depthM
	if rimM < 0 || w.lowM < 0 {
		if w.lowM <= 0 {
			return w.nearM, 0
		}
		return w.nearM + (depthM-w.nearM)*w.lowM/(w.lowM-rimM), 0
	}
	return depthM, rimM
}

// woodDB is what a wood at an end costs over open country, as linkbudget has it: through it, or over
// its rim.
func (s *standings) woodDB(end int, through float32, depthM, rimM, distM, perWave float64) float32 {
	if through <= s.rimDB[end] {
		return through
	}
	restM, knife := distM-depthM, s.knife.value[0]
	if rimM > 0 {
		b := restM
		if b < clearM {
			b = clearM
		}
		knife = s.knifeDB(float32(rimM * rimM * perWave * (depthM + b) / (depthM * b)))
	}
	over := knife - s.openDB[end]
	if over < 0 {
		over = 0
	}
	if over >= through {
		return through
	}
	if restM < clearM {
		return through + float32(restM*(1.0/clearM))*(over-through)
	}
	return over
}

// atPole is the wood of the pole as the last cell left it.
type atPole struct {
	rimM, rimTopM, tim float64
	depthM, overM      float64
	through            float32
}

// poleWoodDB is what that of the pole costs a cell behind the far ground of a ray, or in sight at a slope.
// Behind that ground the way out does not depend on the cell.
func (c *coverRay) poleWoodDB(j *judge, from *ray, a, climb, distM float64) float32 {
	s, u, p := c.s, &c.woods, &c.pole
	if a > 0 && !u.atPole && p.tim == from.tim && p.rimM == u.rimM && p.rimTopM == u.rimTopM {
		return s.woodDB(0, p.through, p.depthM, p.overM, distM, j.perWave)
	}
	w := wayOut{0, u.rimM, distM, j.set.antennaM, u.rimTopM, a + climb, s.poleTopM - s.poleM}
	if distM < w.depthM {
		w.depthM = distM
	}
	depthM, overM := w.leaves(j.set.curve)
	through := s.throughDB(float32(depthM))
	if a > 0 && !u.atPole {
		*p = atPole{u.rimM, u.rimTopM, from.tim, depthM, overM, through}
	}
	return s.woodDB(0, through, depthM, overM, distM, j.perWave)
}

// throughDB is the loss through a wood, by a table.
func (s *standings) throughDB(depthM float32) float32 {
	at, last := depthM*(1.0/throughM), len(s.through)-2
	if !(at < float32(last)) {
		at = float32(last)
	}
	n := int32(at)
	return between(s.through, n, at-float32(n))
}

// The table of woods has an entry every throughM, up to where no more is lost.
const (
	throughM       = 4
	throughEntries = 400
)

func newThrough(freqHz float64) (t []float32) {
	for n := range throughEntries {
		t = append(t, float32(clutter.Woodland{DepthM: float64(n * throughM), FreqHz: freqHz}.Nearest()))
	}
	return t
}

// knifeDB is J(ν) of ITU-R P.526-15 eq (31) over the square of ν, by a table: below it that of 0, above it more than
// the way through any wood.
func (s *standings) knifeDB(nu2 float32) float32 {
	i, u, ok := octavePlace(nu2, s.knife.from, int32(len(s.knife.value)-2))
	if !ok && i > 0 {
		return infinite
	}
	return between(s.knife.value, i, u)
}

func newKnife() curveTable {
	t := newCurveTable(1.0/(1<<14), 1<<20, func(nu2 float64) float64 {
		return float64(diffraction.KnifeEdge(math.Sqrt(nu2)))
	})
	t.value[0] = float32(diffraction.KnifeEdge(0))
	return t
}
