package coverage

import (
	"context"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/terrain/fault"
)

// squareSide is the side of the squares of posts for which is told whether ground is unknown.
const squareSide = 64

// voids tells, square by square, where some ground is unknown.
type voids struct {
	cols    int
	unknown []bool // in the square or in one beside it; nil where all is known
	// infinite tells that some height is: to a single path that is a void.
	infinite bool
}

// newVoids looks at all heights of a window.
func newVoids(ctx context.Context, w *window, workers int) (voids, error) {
	cols, rows := (w.Cols+squareSide-1)/squareSide, (w.Rows+squareSide-1)/squareSide
	found := make([]bool, cols*rows)
	var infinite atomic.Bool
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(workers)
	for row := range rows {
		group.Go(fault.Guarded(func() error {
			for line := row * squareSide; line < min((row+1)*squareSide, w.Rows); line++ {
				for col := range cols {
					for _, h := range w.h[line*w.stride:][col*squareSide : min((col+1)*squareSide, w.Cols)] {
						if h-h != 0 { // no number, or infinite
							found[row*cols+col] = true
							if h == h {
								infinite.Store(true)
							}
						}
					}
				}
			}
			return ctx.Err()
		}))
	}
	if err := group.Wait(); err != nil {
		return voids{}, err
	}
	p := voidsAround(cols, found)
	p.infinite = infinite.Load()
	return p, nil
}

// voidsAround takes what was found, row by row of squares.
func voidsAround(cols int, found []bool) voids {
	p := voids{cols: cols}
	rows := len(found) / cols
	for i, bad := range found {
		if !bad {
			continue
		}
		if p.unknown == nil {
			p.unknown = make([]bool, len(found))
		}
		col, row := i%cols, i/cols
		for r := max(row-1, 0); r <= min(row+1, rows-1); r++ {
			for c := max(col-1, 0); c <= min(col+1, cols-1); c++ {
				p.unknown[r*cols+c] = true
			}
		}
	}
	return p
}

// sound reports whether all ground within a square's side of a post is known.
func (p *voids) sound(col, row int) bool {
	return p.unknown == nil || !p.unknown[row/squareSide*p.cols+col/squareSide]
}
