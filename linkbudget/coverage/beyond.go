package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget"
)

// beyond is the smooth earth beyond its horizon. There the spherical part is a sum
// of one term in the distance and one in each height (P.1812-6 eq 28), so that
// tables of one variable are enough, and Bullington's part has a closed form.
type beyond struct {
	rootCurve, perWave float64
	dist               curveTable // loss over the distance between antennas at lowHeightM
	heights            curveTable // what an antenna up there changes
}

// The heights of the tables, and a distance at which the highest antennas are
// beyond each other's horizon; computed there, not a path anyone has.
const (
	lowHeightM  = 0.125
	highHeightM = 4096
	farAwayM    = 2000e3
)

func newBeyond(area linkbudget.Area) beyond {
	loss := func(d, hA, hB float64) float64 {
		spherical, _ := area.SmoothEarth(linkbudget.SmoothPath{DistM: d, EffectiveAM: hA, EffectiveBM: hB, ClearM: 1})
		return float64(spherical)
	}
	curve := 1 / (2 * linkbudget.EffectiveRadiusM(area.Env.K))
	horizonM := 2 * math.Sqrt(lowHeightM/curve)
	far := loss(farAwayM, lowHeightM, lowHeightM)
	return beyond{
		rootCurve: math.Sqrt(curve), perWave: 2 / linkbudget.WavelengthM(area.Env.FreqHz),
		dist:    newCurveTable(horizonM, 2*MaxRadiusM, func(d float64) float64 { return loss(max(d, horizonM), lowHeightM, lowHeightM) }),
		heights: newCurveTable(lowHeightM, highHeightM, func(h float64) float64 { return loss(farAwayM, h, lowHeightM) - far }),
	}
}

// excess is L_dsph - L_bulls, not cut off at 0; false within the horizon or
// outside the tables.
//
// The tangents from both antennas touch the sphere: in the flattened frame, where
// it is y = -c d², at d = sqrt(h/c) from either. With w = d sqrt(c) their slopes
// over the direct ray are ((w - sqrt hA)² - hB)/d and the same with A and B
// exchanged.
func (z *beyond) excess(d, hA, hB float64) (float64, bool) {
	rootA, rootB, w := math.Sqrt(hA), math.Sqrt(hB), d*z.rootCurve
	if w < rootA+rootB {
		return 0, false
	}
	far, ok1 := z.dist.at(d)
	gainA, ok2 := z.heights.at(hA)
	gainB, ok3 := z.heights.at(hB)
	if !(ok1 && ok2 && ok3) {
		return 0, false
	}
	a, b := w-rootA, w-rootB
	nu := math.Sqrt(z.perWave * max(a*a-hB, 0) * max(b*b-hA, 0) / d)
	return far + gainA + gainB - bullingtonLoss(nu, d), true
}

// curveTable is a smooth function of a number above 0: straight lines between 64
// places in every doubling. The place is read off the bits of the number.
type curveTable struct {
	from  int
	value []float32
}

const curveBits = 6

func newCurveTable(low, high float64, f func(float64) float64) curveTable {
	t := curveTable{from: int(math.Float64bits(low) >> (52 - curveBits))}
	for i := t.from; ; i++ {
		x := math.Float64frombits(uint64(i) << (52 - curveBits))
		t.value = append(t.value, float32(f(x)))
		if x > high {
			return t
		}
	}
}

func (t *curveTable) at(x float64) (float64, bool) {
	bits := math.Float64bits(x)
	i := int(bits>>(52-curveBits)) - t.from
	if uint(i) >= uint(len(t.value)-1) {
		return 0, false
	}
	u := float64(bits&(1<<(52-curveBits)-1)) * (1.0 / (1 << (52 - curveBits)))
	a, b := float64(t.value[i]), float64(t.value[i+1])
	return a + u*(b-a), true
}
