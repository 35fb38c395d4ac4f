package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
)

// wayOut is how a path leaves the wood that an end stands in: the rim lies depthM from the end, of distM in
// all; heights of the antenna and of the trees at the rim above the datum; the slope of the ray, over the
// level; and how far the antenna is below the trees.
type wayOut struct{ depthM, distM, antennaM, rimTopM, slope, lowM float64 }

// woodDB is what a wood at an end costs over open country, as linkbudget has it: through it, or over
// its rim.
func (s *standings) woodDB(end int, w wayOut, j *judge) float32 {
	depthM := w.depthM
	rim := w.rimTopM + j.set.curve*depthM*(w.distM-depthM) - w.antennaM - w.slope*depthM
	if rim < 0 && w.lowM > 0 { // out through the tops
		depthM, rim = depthM*w.lowM/(w.lowM-rim), 0
	}
	through := s.throughDB(float32(depthM))
	restM := w.distM - depthM
	nu2 := 0.0
	if rim > 0 {
		a, b := max(depthM, 1e-3), max(restM, clearM)
		nu2 = rim * rim * j.perWave * (a + b) / (a * b)
	}
	if over := max(s.knifeDB(float32(nu2))-s.openDB[end], 0); over < through {
		return through + float32(min(max(restM, 0)/clearM, 1))*(over-through)
	}
	return through
}

// throughDB is the loss through a wood, by a table.
func (s *standings) throughDB(depthM float32) float32 {
	at := min(max(depthM*(1.0/throughM), 0), float32(len(s.through)-2))
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
	i, u, _ := octavePlace(nu2, s.knife.from, int32(len(s.knife.value)-2))
	return between(s.knife.value, i, u)
}

func newKnife() curveTable {
	t := newCurveTable(1.0/(1<<14), 1<<20, func(nu2 float64) float64 {
		return float64(diffraction.KnifeEdge(math.Sqrt(nu2)))
	})
	t.value[0] = float32(diffraction.KnifeEdge(0))
	return t
}
