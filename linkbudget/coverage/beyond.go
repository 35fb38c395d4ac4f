package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget"
)

// beyond is the smooth earth beyond its horizon. There the spherical part is a sum
// of one term in the distance and one in each height (P.1812-6 eq 28), so that
// tables of one variable are enough, and Bullington's part has a closed form.
type beyond struct {
	dist    curveTable // loss over the distance between antennas at lowHeightM
	heights curveTable // what an antenna up there changes
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
		dist:    newCurveTable(horizonM, 2*MaxRadiusM, func(d float64) float64 { return loss(max(d, horizonM), lowHeightM, lowHeightM) }),
		heights: newCurveTable(lowHeightM, highHeightM, func(h float64) float64 { return loss(farAwayM, h, lowHeightM) - far }),
	}
}

// smoothEarth finds what the smooth earth adds to Bullington's edge, L_dsph -
// L_bulls where that is above 0, for a lane: beyond its horizon by the sum, within
// it by the table of excess. A lane outside both is marked so and gets none yet.
//
// The tangents from both antennas touch the sphere: in the flattened frame, where
// it is y = -c d², at d = sqrt(h/c) from either. With w = d sqrt(c) their slopes
// over the direct ray are ((w - sqrt hA)² - hB)/d and the same with A and B
// exchanged.
func (s *scene) smoothEarth(l *lanes, i int) {
	l.excess[i], l.within[i] = 0, 0
	if !(l.smooth[i] > 0) {
		return
	}
	d, hA, hB := l.d[i], l.hA[i], l.hB[i]
	n, u, ok := octavePlace(d, s.distFrom[0], s.distLast[0])
	nA, uA, okA := octavePlace(hA, s.heightFrom[0], s.heightLast[0])
	nB, uB, okB := octavePlace(hB, s.heightFrom[0], s.heightLast[0])
	rootA, rootB, w := root(hA), root(hB), d*s.rootCurve[0]
	if ok && okA && okB && w >= rootA+rootB {
		spherical := between(s.dist, n, u) + between(s.height, nA, uA) + between(s.height, nB, uB)
		a, b := w-rootA, w-rootB
		a, b = max(a*a-hB, 0), max(b*b-hA, 0)
		l.excess[i] = max(spherical-edgeLoss(root(s.perWave[0]*a*b/d), lengthDB(d)), 0)
		return
	}
	n, u, ok = axisPlace(d, distPerOctave, s.excessFrom[0][0], s.excessLast[0][0])
	nA, uA, okA = axisPlace(hA, heightPerOctave, s.excessFrom[1][0], s.excessLast[1][0])
	nB, uB, okB = axisPlace(hB, heightPerOctave, s.excessFrom[2][0], s.excessLast[2][0])
	if !(ok && okA && okB) {
		l.within[i] = 1
		return
	}
	stepD, stepA := s.excessStep[0][0], s.excessStep[1][0]
	p := n*stepD + nA*stepA + nB
	t := s.excess
	near := between(t, p, uB)
	near += uA * (between(t, p+stepA, uB) - near)
	p += stepD
	far := between(t, p, uB)
	far += uA * (between(t, p+stepA, uB) - far)
	l.excess[i] = max(near+u*(far-near), 0)
}

// curveTable is a smooth function of a number above 0: straight lines between 64
// places in every doubling. The place is read off the bits of the number.
type curveTable struct {
	from  int32
	value []float32
}

const curveBits = 6

func newCurveTable(low, high float64, f func(float64) float64) curveTable {
	t := curveTable{from: int32(math.Float32bits(float32(low)) >> (23 - curveBits))}
	for i := t.from; ; i++ {
		x := float64(math.Float32frombits(uint32(i) << (23 - curveBits)))
		t.value = append(t.value, float32(f(x)))
		if x > high {
			return t
		}
	}
}
