package siting

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// field is what the sweeps say of every cell in the areas.
type field struct {
	terrain.Lattice
	neighbours []Neighbour // those within range
	beyond     []string
	unknown    []string // of the neighbours, those on unknown ground
	// cells are the indices of those in the areas where no neighbour stands.
	cells    []int
	heightsM []float64 // of the sweeps, rising
	asked    int       // index of the mast asked for
	// surety holds for every height, neighbour and cell how many standard
	// deviations the margin is above 0, NaN where the path could not be judged.
	surety [][][]float32
}

// sweepHeightsM lie a factor of two apart, as what a mast wins goes with its
// logarithm.
var sweepHeightsM = []float64{2, 4, 8, 16, 32, 64, 128}

// heights are those of the sweeps and the index of the mast asked for.
func (o Options) heights() (list []float64, asked int) {
	list = []float64{o.Candidate.HeightM, o.MaxHeightM}
	if o.Rank == ByMast {
		list = append(list, o.lowestM())
		for _, h := range sweepHeightsM {
			if h > o.lowestM() && h < o.MaxHeightM {
				list = append(list, h)
			}
		}
	}
	slices.Sort(list)
	list = slices.Compact(list)
	return list, slices.Index(list, o.Candidate.HeightM)
}

// newField sweeps from every neighbour for every height.
func newField(ctx context.Context, dem terrain.DEM, o Options) (*field, error) {
	f := &field{}
	f.heightsM, f.asked = o.heights()
	bound := o.bound()
	var farM []float64
	var errs []error
	for _, n := range o.Neighbours {
		near, far := reachM(n.At, bound)
		switch {
		case near <= o.RangeM:
			f.neighbours, farM = append(f.neighbours, n), append(farM, far)
		case n.Must:
			errs = append(errs, fault.Input("siting: %q must be reached but lies %.1f km from the ground to search, beyond "+
				"the range of %g km", n.Station.Name, near/1000, o.RangeM/1000))
		default:
			f.beyond = append(f.beyond, n.Station.Name)
		}
	}
	switch {
	case len(errs) > 0:
	case len(f.neighbours) == 0:
		errs = append(errs, fault.Input("siting: no neighbour lies within %g km of the ground to search", o.RangeM/1000))
	case len(f.neighbours) < o.AtLeast:
		errs = append(errs, fault.Input("siting: at least: found %d, but only %d neighbours lie within %g km of the "+
			"ground to search", o.AtLeast, len(f.neighbours), o.RangeM/1000))
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	for range f.heightsM {
		f.surety = append(f.surety, make([][]float32, len(f.neighbours)))
	}
	taken := map[int]bool{}
	for k, n := range f.neighbours {
		known, err := f.sweep(ctx, dem, k, farM[k]*1.001+10, o, taken)
		if err != nil {
			return nil, fmt.Errorf("siting: sweep from %q: %w", n.Station.Name, err)
		}
		if !known {
			f.unknown = append(f.unknown, n.Station.Name)
		}
	}
	if len(f.unknown) == len(f.neighbours) {
		return nil, fmt.Errorf("siting: no neighbour in range stands on known ground (%s): %w",
			strings.Join(f.unknown, ", "), coverage.ErrPoleUnknown)
	}
	for _, lists := range f.surety {
		for k, list := range lists {
			if list == nil {
				lists[k] = slices.Repeat([]float32{float32(math.NaN())}, len(f.cells))
			}
		}
	}
	f.drop(taken)
	return f, nil
}

// sweep looks from a neighbour with every mast; known is false where it stands on
// ground without a height, from which nothing can be judged.
func (f *field) sweep(ctx context.Context, dem terrain.DEM, k int, radiusM float64, o Options,
	taken map[int]bool) (known bool, err error) {
	n, bound := f.neighbours[k], o.bound()
	for h, heightM := range f.heightsM {
		receiver := o.Candidate
		receiver.HeightM = heightM
		r, err := coverage.Sweep(ctx, n.Station, n.At, dem, coverage.Options{
			RadiusM: radiusM, Area: &bound, Receiver: receiver, Environment: o.Environment,
			CellM: o.CellM, FillVoidsM: o.FillVoidsM, Workers: o.Workers, MemoryBytes: o.MemoryBytes,
		})
		if errors.Is(err, coverage.ErrPoleUnknown) {
			return false, nil
		}
		if err == nil {
			err = f.take(r, k, h, o, taken)
		}
		if err != nil {
			return false, err
		}
		if o.Progress != nil {
			o.Progress(k*len(f.heightsM)+h+1, len(f.neighbours)*len(f.heightsM))
		}
	}
	return true, nil
}

// take keeps of a raster what the search needs.
func (f *field) take(r *coverage.Raster, neighbour, height int, o Options, taken map[int]bool) error {
	if f.Cols == 0 { // the first
		f.Lattice = r.Lattice
		f.mark(o.Areas)
		need := int64(len(f.cells)) * int64(len(f.neighbours)*len(f.heightsM)) * 4
		if need > o.MemoryBytes/2 {
			return fault.Input("siting: %d cells, %d neighbours and %d masts need %d MiB, allowed %d; search less ground or "+
				"take cells farther apart", len(f.cells), len(f.neighbours), len(f.heightsM), need>>20, o.MemoryBytes/2>>20)
		}
	}
	if r.Cols != f.Cols || r.Rows != f.Rows {
		return fmt.Errorf("siting: the sweep from %q has %d by %d cells, the first %d by %d",
			f.neighbours[neighbour].Station.Name, r.Cols, r.Rows, f.Cols, f.Rows)
	}
	list := make([]float32, len(f.cells))
	for i, cell := range f.cells {
		c := r.Cells[cell]
		if c.State() == coverage.Foot {
			taken[i] = true
		}
		list[i] = float32(suretyOf(c))
	}
	f.surety[height][neighbour] = list
	return nil
}

// drop leaves out the cells where a neighbour stands.
func (f *field) drop(taken map[int]bool) {
	if len(taken) == 0 {
		return
	}
	for _, lists := range f.surety {
		for k := range lists {
			lists[k] = without(lists[k], taken)
		}
	}
	f.cells = without(f.cells, taken)
}

// without is a list less its entries of some indices, written over it.
func without[T any](list []T, indices map[int]bool) []T {
	kept := list[:0]
	for i, v := range list {
		if !indices[i] {
			kept = append(kept, v)
		}
	}
	return kept
}

// mark finds the cells whose centres lie in an area.
func (f *field) mark(areas orb.MultiPolygon) {
	for i := range f.Cols * f.Rows {
		p := f.Post(i%f.Cols, i/f.Cols)
		if slices.ContainsFunc(areas, func(area orb.Polygon) bool {
			q := p
			q[0] += 360 * math.Round((area.Bound().Center()[0]-p[0])/360)
			return planar.PolygonContains(area, q)
		}) {
			f.cells = append(f.cells, i)
		}
	}
}

// at is where a cell of f.cells lies, longitude within ±180.
func (f *field) at(i int) orb.Point {
	p := f.Post(f.cells[i]%f.Cols, f.cells[i]/f.Cols)
	return orb.Point{wrap(p[0]), p[1]}
}

// wrap brings a longitude within ±180.
func wrap(lonDeg float64) float64 { return lonDeg - 360*math.Round(lonDeg/360) }
