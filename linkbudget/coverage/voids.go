package coverage

import (
	"context"
	"math"
	"slices"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/terrain/fault"
)

// squareSide is the side of the squares of posts for which is told whether ground is unknown.
const squareSide = 64

// voids tells, square by square, where some ground is unknown.
type voids struct {
	cols, rows int
	unknown    []bool // in the square; nil where all is known
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
	p := voids{cols: cols, rows: rows, infinite: infinite.Load()}
	if slices.Contains(found, true) {
		p.unknown = found
	}
	return p, nil
}

// sound reports whether all ground within a square's side of a post is known.
func (p *voids) sound(col, row int) bool {
	if p.unknown == nil {
		return true
	}
	col, row = col/squareSide, row/squareSide
	for r := max(row-1, 0); r <= min(row+1, p.rows-1); r++ {
		for c := max(col-1, 0); c <= min(col+1, p.cols-1); c++ {
			if p.unknown[r*p.cols+c] {
				return false
			}
		}
	}
	return true
}

// post returns column and row of the post at x on the line of sample i.
func (c *crossings) post(i, x int) (col, row int) {
	if c.q.alongRows {
		return x, c.samples[i].line
	}
	return c.samples[i].line, x
}

// post returns the cell at a post, -1 if there is none, and its height, NaN where
// unknown.
func (s *sweep) post(c *crossings, i, x int) (cell int, groundM float64) {
	col, row := c.post(i, x)
	u, v := col-s.firstCol, row-s.firstRow
	if s.every > 1 {
		if u%s.every != 0 || v%s.every != 0 {
			return -1, 0
		}
		u, v = u/s.every, v/s.every
	}
	if uint(u) >= uint(s.cells.Cols) || uint(v) >= uint(s.cells.Rows) {
		return -1, 0
	}
	cell = v*s.cells.Cols + u
	if uint(col) >= uint(s.Cols) || uint(row) >= uint(s.Rows) {
		return cell, math.NaN()
	}
	return cell, float64(c.h[c.samples[i].line*c.along+x*c.across])
}

// state of a post without a height.
func (s *sweep) state(c *crossings, i, x int) State {
	col, row := c.post(i, x)
	if uint(col) >= uint(s.Cols) || uint(row) >= uint(s.Rows) {
		return Outside
	}
	if h := c.h[c.samples[i].line*c.along+x*c.across]; math.Float32bits(h) == math.Float32bits(outsideMark) {
		return Outside
	}
	return Void
}
