package coverage

import (
	"context"
	"math"
)

// bench is what one worker keeps: two neighbouring rays.
type bench struct {
	s     *sweep
	rays  [2]*ray
	combs [4]comb
}

func (s *sweep) newBench() *bench {
	b := &bench{s: s}
	samples, steps := 1, s.steps()
	for i, q := range quadrants {
		step := steps[0]
		if q.alongRows {
			step = steps[1]
		}
		b.combs[i] = s.fan.newComb(q, step)
		samples = max(samples, len(b.combs[i].teeth))
	}
	b.rays = [2]*ray{newRay(samples), newRay(samples)}
	return b
}

// steps says how many samples lie between two lines of posts: no coarser, along
// the axis, than about what a single path takes, the finer spacing of the posts.
func (s *sweep) steps() [2]int {
	aspect := math.Cos(s.fan.at[1]*math.Pi/180) * s.StepLonDeg / s.StepLatDeg
	return [2]int{max(1, int(math.Round(aspect))), max(1, int(math.Round(1/aspect)))}
}

// sweep judges every cell of a piece.
func (b *bench) sweep(ctx context.Context, p piece) error {
	c := &b.combs[p.quadrant]
	half := b.s.fan.half(c.q)
	set := &b.s.judge.set
	b.rays[0].build(b.s.fan, c, p.from, set)
	for k := p.from; k < p.to; k++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		b.rays[1].build(b.s.fan, c, k+1, set)
		atCorner := c.q.alongRows && (k < -half+2 || k >= half-2)
		b.wedge(c, atCorner)
		b.rays[0], b.rays[1] = b.rays[1], b.rays[0]
	}
	return nil
}

// wedge judges the cells from the first ray up to but without the second.
func (b *bench) wedge(c *comb, atCorner bool) {
	s := b.s
	r0, r1 := b.rays[0], b.rays[1]
	start := s.fan.u0
	if c.q.alongRows {
		start = s.fan.v0
	}
	n := int32(min(r0.n, r1.n))
	known := min(r0.known, r1.known)
	var w work
	at := spot{rays: b.rays, comb: c}
	for _, i := range c.line {
		if i >= n {
			break
		}
		low, high := r0.cross[i], r1.cross[i]
		for x := math.Ceil(low); x < high; x++ {
			line := c.teeth[i].line
			col, row := line, int(x)
			if c.q.alongRows {
				col, row = int(x), line
			}
			if atCorner && s.fan.owned(float64(col), float64(row)) {
				continue
			}
			cell, ok := s.cellAt(col, row)
			if !ok {
				continue
			}
			at.t = (x - low) / (high - low)
			at.distM = float64(r0.dist[i]) + at.t*float64(r1.dist[i]-r0.dist[i])
			if at.distM > s.opt.RadiusM {
				continue
			}
			at.sample = i
			w.along = float64(line) - start
			s.judgeCell(&at, cell, col, row, known, &w)
		}
	}
}

// cellAt returns the raster cell at a post of the window, and false where there
// is none.
func (s *sweep) cellAt(col, row int) (int, bool) {
	x, y := col-s.firstCol, row-s.firstRow
	if s.every > 1 {
		if x%s.every != 0 || y%s.every != 0 {
			return 0, false
		}
		x, y = x/s.every, y/s.every
	}
	if x < 0 || x >= s.cells.Cols || y < 0 || y >= s.cells.Rows {
		return 0, false
	}
	return y*s.cells.Cols + x, true
}

// judgeCell fills one cell.
func (s *sweep) judgeCell(at *spot, cell, col, row, known int, w *work) {
	out := &s.raster.Cells[cell]
	if col < 0 || col >= s.Cols || row < 0 || row >= s.Rows {
		out.State = Outside
		return
	}
	h := s.h[row*s.stride+col]
	if h != h {
		out.State = s.window.state(h)
		return
	}
	if int(at.sample) > known {
		out.State = Hidden
		return
	}
	s.judge.cell(at, float64(h), w, out)
}
