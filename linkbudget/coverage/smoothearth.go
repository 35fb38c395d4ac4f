package coverage

import (
	"context"
	"math"

	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// fit is what the straight line fitted to the bare ground is made of, P.1812-6
// attachment 1 eq 85-86, for a receiver at a sample, as far as it does not depend on
// its own ground, which effectiveHeights adds: the sums over the distance and its
// square, and the part of the distance from the last sample in them.
type fit struct{ first, second, gap float32 }

// fit finds that for all samples from one on, which is nearSamples before the first of
// the ray's own. As all that is carried, the sums stop that short of the last sample: a ray
// that forks off there has those samples from its own ground.
func (r *ray) fit(from int, set *setting) {
	carried := max(r.n-nearSamples, 0)
	r.sums = r.fitUpTo(from, carried, r.sums, set)
	r.fitUpTo(carried, r.n, r.sums, set)
}

// fitUpTo goes on from sums before a sample to those before another.
func (r *ray) fitUpTo(from, to int, s sums, set *setting) sums {
	dist := r.dist[from:to]
	pers, heights, fits := r.per[from:][:len(dist)], r.h[from:][:len(dist)], r.fits[from:][:len(dist)]
	known := r.known - from
	for i, d := range dist {
		per, gap := pers[i], d-s.d
		before, before2 := s.v1+gap*s.over, s.v2+gap*s.over*(d+2*s.d)
		fits[i] = fit{float32(before * per), float32(before2 * per * per), float32(gap * per)}
		if i < known {
			over := heights[i] - set.groundM
			s = sums{over: over, d: d, v1: before + gap*over, v2: before2 + gap*over*(2*d+s.d)}
		}
	}
	return s
}

// effectiveHeights finds those of the antennas over the smooth earth: over the fitted
// line, over the pole's ground, lowered at both ends by an obstruction and nowhere
// above the ground, P.1812-6 eq 85-90. Where even a ray over the bulge between them
// is plainly clear, the smooth earth costs nothing.
func (s *constants) effectiveHeights(l *lanes, i int) {
	d := l.d[i]
	foot := l.rise[i] + s.footM[0] - l.lift[i]
	grown := l.gap[i] * foot
	first, second := l.first[i]+grown, l.second[i]+grown*(3-l.gap[i])
	start, end := first+first-second, second-first
	alpha, beta, over := l.alpha[i], l.beta[i], l.over[i]
	slope := l.rise[i] / d
	for m := range nearSamples {
		r := l.nearR[m][i]
		up := l.nearH[m][i] + r*slope
		over = max(over, up)
		alpha, beta = max(alpha, up/(d-r)), max(beta, up/r)
	}
	if sum := alpha + beta; alpha > 0 && over > 0 && sum > 0 {
		over /= sum
		start -= over * alpha
		end -= over * beta
	}
	hA, hB := s.poleM[0]-min(start, 0), s.rxM[0]+l.lift[i]+foot-min(end, foot)
	need := d*d*s.clearCurve[0] + root(d)*s.clearRoot[0]
	l.hA[i], l.hB[i], l.smooth[i] = hA, hB, 1
	if hA*hB > need*need {
		l.smooth[i] = 0
	}
}

// overHorizon is the smooth earth beyond its horizon. There the spherical part is a sum
// of one term in the distance and one in each height (P.1812-6 eq 28), so that
// tables of one variable are enough, and Bullington's part has a closed form.
type overHorizon struct {
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

func newOverHorizon(area linkbudget.Area) overHorizon {
	loss := func(d, hA, hB float64) float64 {
		spherical, _ := area.SmoothEarth(diffraction.SmoothPath{DistM: d, EffectiveAM: hA, EffectiveBM: hB, ClearM: 1})
		return float64(spherical)
	}
	curve := 1 / (2 * radio.EffectiveRadiusM(area.Env.K))
	horizonM := 2 * math.Sqrt(lowHeightM/curve)
	far := loss(farAwayM, lowHeightM, lowHeightM)
	return overHorizon{
		dist: newCurveTable(horizonM, 2*MaxRadiusM, func(d float64) float64 {
			return loss(max(d, horizonM), lowHeightM, lowHeightM)
		}),
		heights: newCurveTable(lowHeightM, highHeightM, func(h float64) float64 {
			return loss(farAwayM, h, lowHeightM) - far
		}),
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
func (s *constants) smoothEarth(l *lanes, i int) {
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

// of is the entry of a number of which the table knows all that matters: below it the first, above it infinite.
func (t *curveTable) of(x float32) float32 {
	i, u, ok := octavePlace(x, t.from, int32(len(t.value)-2))
	if !ok && i > 0 {
		return infinite
	}
	return between(t.value, i, u)
}

// excess is what the smooth earth adds to Bullington's loss, L_dsph - L_bulls
// where that is above 0 (P.1812-6 eq 39), over a distance and two effective
// antenna heights. Within the horizon a large sweep tabulates it over the logarithms of all
// three, within 0.2 dB; small areas and places outside the table have the function itself.
type excess struct {
	area          linkbudget.Area
	d, a, b       axis
	value         []float32 // by distance, then a, then b; nil without a table
	stepA, stepAB int
}

// axis of a table in octaves.
type axis struct {
	from, perOctave float64 // log2 of the first entry
	n               int
}

func newAxis(low, high, perOctave float64) axis {
	from := math.Log2(low)
	return axis{from, perOctave, int(math.Ceil((math.Log2(high)-from)*perOctave)) + 2}
}

func (x axis) entry(i int) float64 { return math.Exp2(x.from + float64(i)/x.perOctave) }

const (
	tableFromM      = 64
	tableHighestM   = 4096
	cellsForATable  = 200e3
	distPerOctave   = 6
	heightPerOctave = 5
)

// newExcess prepares for a sweep of that many cells, up to that radius.
func newExcess(ctx context.Context, area linkbudget.Area, radiusM float64, cells, workers int) (*excess, error) {
	x := &excess{area: area}
	if cells < cellsForATable || radiusM < 2*tableFromM {
		return x, nil
	}
	// A little below the lowest height, which is a frequent one.
	lowest := func(heightM float64) float64 { return 0.99 * max(heightM, 0.1) }
	x.d = newAxis(tableFromM, radiusM+100, distPerOctave)
	x.a = newAxis(lowest(area.HeightAM), tableHighestM, heightPerOctave)
	x.b = newAxis(lowest(area.HeightBM), tableHighestM, heightPerOctave)
	x.stepA, x.stepAB = x.b.n, x.a.n*x.b.n
	radius, wavelengthM := radio.EffectiveRadiusM(area.Env.K), radio.WavelengthM(area.Env.FreqHz)
	value := make([]float32, x.d.n*x.stepAB)
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(workers)
	for i := range x.d.n {
		group.Go(fault.Guarded(func() error {
			d, out := x.d.entry(i), value[i*x.stepAB:]
			clearM2 := diffraction.PlainlyClearM2(d, radius, wavelengthM) // from there on both lose nothing
			for k := range x.a.n {
				hA := x.a.entry(k)
				for m := range x.b.n {
					hB := x.b.entry(m)
					if hA*hB > clearM2 {
						break
					}
					// Cells lie a post or more from their neighbours; how far hardly matters.
					out[k*x.stepA+m] = float32(x.exact(d, hA, hB, tableFromM/2))
				}
			}
			return ctx.Err()
		}))
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	x.value = value
	return x, nil
}

// exact is the function itself, not yet cut off at 0.
func (x *excess) exact(distM, aM, bM, clearM float64) float64 {
	spherical, bullington := x.area.SmoothEarth(diffraction.SmoothPath{DistM: distM, EffectiveAM: aM, EffectiveBM: bM,
		ClearM: clearM})
	return float64(spherical - bullington)
}

// at returns the excess, at least 0, where no table has it. clearM is the distance
// from either end to the nearest inner point.
func (x *excess) at(distM, aM, bM, clearM float64) float64 {
	return max(x.exact(distM, aM, bM, clearM), 0)
}

// tell hands the table to the constants.
func (x *excess) tell(s *constants) {
	for i, a := range []axis{x.d, x.a, x.b} {
		s.excessFrom[i], s.excessLast[i] = vectorOf(a.from), placesOf(int32(a.n-2))
		if x.value == nil {
			s.excessLast[i] = placesOf(-1)
		}
	}
	s.excessStep = [2]places{placesOf(int32(x.stepAB)), placesOf(int32(x.stepA))}
	s.excess = x.value
	if x.value == nil {
		s.excess = []float32{0} // never told, but looked at
	}
}
