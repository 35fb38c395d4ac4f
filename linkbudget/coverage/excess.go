package coverage

import (
	"context"
	"math"

	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/linkbudget"
)

// excess is what the smooth earth adds to Bullington's loss, L_dsph - L_bulls
// where that is above 0 (P.1812-6 eq 39), over a distance and two effective
// antenna heights. It costs some hundred nanoseconds. Beyond the horizon it has a
// form that costs little, see smoothEarth; within, it is smooth in the logarithms of all
// three, so that a large sweep tabulates it once and interpolates: within 0.2 dB
// (0.2 dB at most), while the exact function is kept for small areas and outside the
// table.
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

// newExcess prepares for a sweep of that many cells.
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
	value := make([]float32, x.d.n*x.stepAB)
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(workers)
	for i := range x.d.n {
		group.Go(func() error {
			d, out := x.d.entry(i), value[i*x.stepAB:]
			for k := range x.a.n {
				hA := x.a.entry(k)
				for m := range x.b.n {
					// Cells lie a post or more from their neighbours; how far hardly matters.
					out[k*x.stepA+m] = float32(x.exact(d, hA, x.b.entry(m), tableFromM/2))
				}
			}
			return ctx.Err()
		})
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	x.value = value
	return x, nil
}

// exact is the function itself, not yet cut off at 0.
func (x *excess) exact(distM, aM, bM, clearM float64) float64 {
	spherical, bullington := x.area.SmoothEarth(linkbudget.SmoothPath{DistM: distM, EffectiveAM: aM, EffectiveBM: bM, ClearM: clearM})
	return float64(spherical - bullington)
}

// at returns the excess, at least 0, where no table has it. clearM is the distance
// from either end to the nearest inner point.
func (x *excess) at(distM, aM, bM, clearM float64) float64 {
	return max(x.exact(distM, aM, bM, clearM), 0)
}

// tell hands the table to a scene.
func (x *excess) tell(s *scene) {
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
