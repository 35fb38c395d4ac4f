package coverage

import (
	"context"
	"sync/atomic"

	"golang.org/x/sync/errgroup"
)

// patch is the side of the squares of posts for which is told whether ground is unknown.
const patch = 64

// patches tells, square by square, where some ground is unknown.
type patches struct {
	cols    int
	unknown []bool // in the square or in one beside it; nil where all is known
	// infinite tells that some height is: to a single path that is a void.
	infinite bool
}

// newPatches looks at all heights of a window.
func newPatches(ctx context.Context, w *window, workers int) (patches, error) {
	cols, rows := (w.Cols+patch-1)/patch, (w.Rows+patch-1)/patch
	found := make([]bool, cols*rows)
	var infinite atomic.Bool
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(workers)
	for row := range rows {
		group.Go(func() error {
			for line := row * patch; line < min((row+1)*patch, w.Rows); line++ {
				for col := range cols {
					for _, h := range w.h[line*w.stride:][col*patch : min((col+1)*patch, w.Cols)] {
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
		})
	}
	if err := group.Wait(); err != nil {
		return patches{}, err
	}
	p := patchesAround(cols, found)
	p.infinite = infinite.Load()
	return p, nil
}

// patchesAround takes what was found, row by row of squares.
func patchesAround(cols int, found []bool) patches {
	p := patches{cols: cols}
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
func (p *patches) sound(col, row int) bool {
	return p.unknown == nil || !p.unknown[row/patch*p.cols+col/patch]
}
