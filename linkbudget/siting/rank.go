package siting

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// field is what the sweeps say of every cell.
type field struct {
	terrain.Lattice
	neighbours []Neighbour // those within range
	rasters    []*coverage.Raster
	inside     []bool // of the areas
	beyond     []string
}

// newField sweeps from every neighbour.
func newField(ctx context.Context, dem terrain.DEM, o Options) (*field, error) {
	f := &field{}
	bound := o.bound()
	for _, n := range o.Neighbours {
		near, far := reachM(n.At, bound)
		if near > o.RangeM {
			f.beyond = append(f.beyond, n.Station.Name)
			continue
		}
		r, err := coverage.Sweep(ctx, n.Station, n.At, dem, coverage.Options{
			RadiusM: far*1.001 + 10, Area: &bound, Receiver: o.Candidate, Environment: o.Environment,
			CellM: o.CellM, FillVoidsM: o.FillVoidsM, Workers: o.Workers, MemoryBytes: o.MemoryBytes,
		})
		if errors.Is(err, coverage.ErrPoleUnknown) {
			return nil, fmt.Errorf("siting: neighbour %q: %w", n.Station.Name, err)
		}
		if err != nil {
			return nil, fmt.Errorf("siting: sweep from %q: %w", n.Station.Name, err)
		}
		f.neighbours, f.rasters = append(f.neighbours, n), append(f.rasters, r)
		if o.Progress != nil {
			o.Progress(len(f.rasters)+len(f.beyond), len(o.Neighbours))
		}
	}
	if len(f.rasters) == 0 {
		return nil, fmt.Errorf("siting: no neighbour lies within %g km of the ground to search", o.RangeM/1000)
	}
	f.Lattice = f.rasters[0].Lattice
	for i, r := range f.rasters {
		if r.Cols != f.Cols || r.Rows != f.Rows {
			return nil, fmt.Errorf("siting: the sweep from %q has %d by %d cells, the first %d by %d", f.neighbours[i].Station.Name, r.Cols, r.Rows, f.Cols, f.Rows)
		}
	}
	f.mark(o.Areas)
	return f, nil
}

// mark finds the cells whose centres lie in an area.
func (f *field) mark(areas orb.MultiPolygon) {
	f.inside = make([]bool, f.Cols*f.Rows)
	for i := range f.inside {
		p := f.Post(i%f.Cols, i/f.Cols)
		for _, area := range areas {
			q := p
			q[0] += 360 * math.Round((area.Bound().Center()[0]-p[0])/360)
			if planar.PolygonContains(area, q) {
				f.inside[i] = true
				break
			}
		}
	}
}

// score of a cell: what decides first comes first.
type score struct {
	cell    int
	must    int     // musts reached
	reached int     // neighbours reached, no more than wanted counting here
	chance  float64 // sum of probabilities over all neighbours
}

// better puts spots that serve before others, then the surer ones.
func better(a, b score) int {
	return cmp.Or(cmp.Compare(b.must, a.must), cmp.Compare(b.reached, a.reached), cmp.Compare(b.chance, a.chance), cmp.Compare(a.cell, b.cell))
}

// scores ranks all cells in the areas. A path that could not be judged counts as
// not reached; a cell with none judged is counted apart.
func (f *field) scores(wantPercent float64) (ranked []score, unjudged int) {
	for i, in := range f.inside {
		if !in {
			continue
		}
		s, judged := score{cell: i}, false
		for k, r := range f.rasters {
			c := r.Cells[i]
			if c.State != coverage.Judged {
				continue
			}
			judged = true
			s.chance += float64(c.Probability)
			if float64(c.Probability)*100 >= wantPercent {
				s.reached++
				if f.neighbours[k].Must {
					s.must++
				}
			}
		}
		if !judged {
			unjudged++
			continue
		}
		ranked = append(ranked, s)
	}
	slices.SortFunc(ranked, better)
	return ranked, unjudged
}

// distinct keeps the best cells that lie apart.
func (f *field) distinct(ranked []score, separationM float64, most int) []orb.Point {
	var kept []orb.Point
	for _, s := range ranked {
		p := f.Post(s.cell%f.Cols, s.cell/f.Cols)
		apart := !slices.ContainsFunc(kept, func(q orb.Point) bool { return terrain.Inverse(p, q).DistM < separationM })
		if apart {
			if kept = append(kept, p); len(kept) == most {
				break
			}
		}
	}
	return kept
}
