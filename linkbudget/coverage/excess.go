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
// (tableErrorDB), while the exact function is kept for small areas and outside the
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

// place splits a position into the entry before it and the way to the next.
func (x axis) place(v float64) (i int, u float64, ok bool) {
	at := (fastLog2(v) - x.from) * x.perOctave
	i = int(at)
	return i, at - float64(i), at >= 0 && i < x.n-1
}

// tableErrorDB bounds the difference between the table and the function.
const tableErrorDB = 0.2

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
	x.d = newAxis(tableFromM, radiusM+100, distPerOctave)
	x.a = newAxis(max(area.A.HeightM, 0.1), tableHighestM, heightPerOctave)
	x.b = newAxis(max(area.B.HeightM, 0.1), tableHighestM, heightPerOctave)
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

// at returns the excess within the horizon, at least 0. clearM is the distance from either end to
// the nearest inner point.
func (x *excess) at(distM, aM, bM, clearM float64) float64 {
	if x.value != nil {
		i, u, ok1 := x.d.place(distM)
		k, v, ok2 := x.a.place(aM)
		m, w, ok3 := x.b.place(bM)
		if ok1 && ok2 && ok3 {
			p := i*x.stepAB + k*x.stepA + m
			t := x.value
			line := func(p int) float64 { return float64(t[p]) + w*float64(t[p+1]-t[p]) }
			f00, f01, f10, f11 := line(p), line(p+x.stepA), line(p+x.stepAB), line(p+x.stepAB+x.stepA)
			f0, f1 := f00+v*(f01-f00), f10+v*(f11-f10)
			return max(f0+u*(f1-f0), 0)
		}
	}
	return max(x.exact(distM, aM, bM, clearM), 0)
}
