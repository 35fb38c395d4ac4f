package siting

import (
	"cmp"
	"context"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Choice is one line of the trade between mast and neighbours: HeightM is the
// lowest mast that reaches so many, the musts among them, anywhere on the ground.
type Choice struct {
	Reached int
	HeightM float64 // 0: no mast does; only the last line
	At      orb.Point
	Spot    int // index into Answer.Spots, -1 for a place that is not listed
	// Sure is false where cells that might do with less were left out: a
	// line computes 300 at most.
	Sure bool
}

// choiceCells bounds how many cells are computed for one line.
const choiceCells = 300

// choose finds the lines. A line that another beats with more neighbours for no
// more mast is left out.
func choose(ctx context.Context, dem terrain.DEM, f *field, o Options, spots []Spot) ([]Choice, error) {
	var all []Choice
	var near []int // the cells that roads leave
	for i := range f.cells {
		if !o.tooFar(f.at(i)) {
			near = append(near, i)
		}
	}
	fromM := o.lowestM() // more neighbours never take less mast
	for n := max(1, o.wish(f.neighbours).must); n <= len(f.neighbours)-len(f.unknown); n++ {
		c, err := cheapest(ctx, dem, f, near, o, n, fromM, spots)
		if err != nil {
			return nil, err
		}
		all = append(all, c)
		if c.HeightM == 0 {
			break
		}
		if c.Sure {
			fromM = c.HeightM
		}
	}
	var kept []Choice
	for i, c := range all {
		if i+1 == len(all) || !(all[i+1].HeightM > 0 && all[i+1].HeightM <= c.HeightM) {
			kept = append(kept, c)
		}
	}
	return kept, nil
}

// cheapest finds the lowest mast with which any of the cells reaches n neighbours. What
// the listed spots need is known first; then only cells that might do with less.
func cheapest(ctx context.Context, dem terrain.DEM, f *field, cells []int, o Options, n int, fromM float64,
	spots []Spot) (Choice, error) {
	best := Choice{Reached: n, Spot: -1, Sure: true}
	o.AtLeast = n
	w := o.wish(f.neighbours)
	try := func(at orb.Point, spot int) error {
		p, err := newPlace(dem, at, o, w, f.neighbours)
		if err != nil {
			return err
		}
		most := o
		if best.HeightM > 0 {
			most.MaxHeightM = best.HeightM - stepM // only less is better
		}
		p.o = most
		heightM, found, err := p.lowest(fromM, n)
		if found {
			best.HeightM, best.At, best.Spot = heightM, at, spot
		}
		return err
	}
	for i, s := range spots {
		if err := try(s.At, i); err != nil {
			return best, err
		}
	}
	surety := make([]float64, len(f.neighbours))
	type hope struct {
		cell    int
		heightM float64
		s       standing
	}
	var open []hope
	for _, i := range cells {
		if h, s, ok := f.lowest(i, w, o, surety); ok {
			open = append(open, hope{i, max(h, fromM), s})
		}
	}
	slices.SortFunc(open, func(a, b hope) int {
		return cmp.Or(a.s.withMast(a.heightM).compare(b.s.withMast(b.heightM)), cmp.Compare(a.cell, b.cell))
	})
	for i, h := range open {
		if err := ctx.Err(); err != nil {
			return best, err
		}
		if best.HeightM > 0 && h.heightM >= best.HeightM {
			break
		}
		if i == choiceCells {
			best.Sure = false
			break
		}
		if err := try(f.at(h.cell), -1); err != nil {
			return best, err
		}
	}
	return best, nil
}
