package siting

import (
	"context"
	"fmt"

	"github.com/polereach/polereach/terrain"
)

// Answer is what Search found.
type Answer struct {
	// Spots are ordered from the best.
	Spots []Spot
	// Choices is the trade between mast and neighbours over all the ground
	// searched, from the lowest mast.
	Choices []Choice
	// Cells is how many cells of the ground were judged, Unjudged how many had no
	// answer at all, Open how many do not serve but might if the paths over
	// unknown ground reached. Cells where a neighbour stands do not count.
	Cells, Unjudged, Open int
	// Computed is how many cells were computed path by path for Spots, Left how
	// many more might have been better but were left out for Options.MostCells.
	Computed, Left int
	// Beyond names neighbours out of range, Unknown those on ground without a height:
	// they count as neighbours that could not be judged.
	Beyond, Unknown []string
	// WantPercent is the probability from which a path reaches.
	WantPercent float64
}

// Search looks for spots. Errors tell every fault of the options at once, a must
// out of range ([fault.ErrInput]), what a sweep or a profile failed on ([terrain.ErrRead]),
// that of ctx, or a panic of dem in a worker (*fault.PanicError).
func Search(ctx context.Context, dem terrain.DEM, o Options) (*Answer, error) {
	o = o.withDefaults()
	if err := o.check(dem); err != nil {
		return nil, err
	}
	f, err := newField(ctx, dem, o)
	if err != nil {
		return nil, err
	}
	if o.Rank == BySun {
		b := o.bound()
		_, farM := reachM(b.Center(), b)
		if o.Sun, err = o.Sun.lookedRound(ctx, dem, b.Center(), farM); err != nil {
			return nil, fmt.Errorf("siting: sun: %w", err)
		}
	}
	w := o.wish(f.neighbours)
	a := &Answer{Beyond: f.beyond, Unknown: f.unknown, WantPercent: o.wantPercent()}
	a.count(f, w, o)
	q := newQueue(dem, f, o, w)
	if err := q.run(ctx); err != nil {
		return nil, err
	}
	a.Computed, a.Left = q.count, q.left()
	for _, j := range q.kept {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		spot, err := o.describe(ctx, dem, j, w, f.neighbours)
		if err != nil {
			return nil, err
		}
		spot.explain(o)
		a.Spots = append(a.Spots, spot)
	}
	if a.Cells == 0 {
		return a, nil // no mast was tried anywhere
	}
	a.Choices, err = choose(ctx, dem, f, o, a.Spots)
	return a, err
}

// count counts what could not be judged.
func (a *Answer) count(f *field, w wish, o Options) {
	surety := make([]float64, len(f.neighbours))
	for i := range f.cells {
		if f.unjudged(i) {
			a.Unjudged++
			continue
		}
		a.Cells++
		if _, _, ok := f.lowest(i, w, o, surety); !ok && f.open(i, w, surety) {
			a.Open++
		}
	}
}
