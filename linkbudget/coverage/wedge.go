package coverage

import (
	"context"
	"math"
)

// bench is what one worker keeps: the ray that it follows, and what the ray
// before it left behind.
type bench struct {
	s     *sweep
	ray   *ray
	combs [4]comb
	seams []seam  // by sample
	forks []front // by level: what a ray carried where it forked
	last  []trail // by level: the ray before

	here    view
	jobs    [64]job
	waiting int
}

// trail is what is kept of a ray after it.
type trail struct {
	p, n int // its number, and how many samples it reached
	sway
}

// seam is what a ray leaves, where it crosses a line of posts, for the cells
// between it and the next: what it says to the first of them.
type seam struct {
	view
	cross, distM float64
	x            int // the first post at the ray or beyond
	cell         int // in the raster, -1 if it holds none for that post
	groundM      float64
	blind        bool // whether unknown ground lies before
	seen         bool // whether the view was taken
	near         bool // whether this ray is the nearer one, so that smooth was found
	smooth       smoothHeights
}

func (s *sweep) newBench() *bench {
	b := &bench{s: s, forks: make([]front, s.fan.levels+1), last: make([]trail, s.fan.levels+1)}
	samples, steps := 1, s.steps()
	for i, q := range quadrants {
		step := steps[0]
		if q.alongRows {
			step = steps[1]
		}
		b.combs[i] = s.fan.newComb(i, step)
		samples = max(samples, len(b.combs[i].teeth))
	}
	b.ray, b.seams = newRay(samples), make([]seam, samples)
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
	for level := range b.last {
		b.last[level] = trail{p: math.MinInt}
	}
	// The cells before the first ray need the one before it, on every level.
	for level, n := len(b.last)-1, p.from-1; level >= 0 && b.follow(c, level, n, false); level-- {
		n = 2*n + 1
	}
	for n := p.from; n < p.to; n++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		b.tree(c, len(b.last)-1, n)
	}
	return nil
}

// tree follows a ray and those that it forks into.
func (b *bench) tree(c *comb, level, n int) {
	if b.follow(c, level, n, true) {
		b.tree(c, level-1, 2*n)
		b.tree(c, level-1, 2*n+1)
	}
}

// follow goes along ray n of a level, up to where it forks, and judges the cells
// between it and the one before. It reports whether the ray forks.
func (b *bench) follow(c *comb, level, n int, judging bool) bool {
	s, r := b.s, b.ray
	aside, half := math.Abs(place(level, n)), s.fan.half(c.q)
	wide := float64(int(1) << level)
	if aside > half+wide {
		return false
	}
	from := 0
	if top := len(b.last) - 1; level < top {
		from = c.ends[level+1]
		r.front.set(&b.forks[level+1])
	} else {
		r.front.reset()
	}
	before := b.last[level]
	b.last[level] = trail{p: n}
	r.aim(s.fan, c, level, n)
	if r.passes(s.window, c, level, &s.judge.set) {
		return false
	}
	end := c.ends[level]
	r.layOut(s.window, c, from, end, &s.judge.set)
	r.fill(c, from, &s.judge.set)
	shared := 0
	if judging && before.p == n-1 {
		shared = before.n
	}
	b.last[level] = trail{n, r.n, sway{r.azimuthDeg, 0}}
	atCorner := aside > half-2*wide
	for i := from; i < r.n; i++ {
		if c.onLine[i] {
			if i < shared {
				b.gather(c, i, &before, atCorner)
			}
			b.leave(c, i)
		}
		if i < r.known {
			r.add(i, &s.judge.set)
		}
	}
	b.flush(c)
	if level == 0 || r.n < end {
		return false
	}
	b.forks[level].set(&r.front)
	return true
}

// leave looks at the first cell beyond the ray, for the next one.
func (b *bench) leave(c *comb, i int) {
	s, r, m := b.s, b.ray, &b.seams[i]
	m.cross, m.distM = r.cross[i], r.dist[i]
	m.x, m.blind = int(math.Ceil(m.cross)), r.known < i
	m.seen, m.near, m.cell = false, false, -1
	gap, spacing := float64(m.x)-m.cross, r.spacing*c.away(i)
	if gap > 1.05*spacing+snap { // the next ray will not reach it
		return
	}
	m.cell, m.groundM = s.post(c, i, m.x)
	if m.cell < 0 || m.groundM != m.groundM || m.blind {
		return
	}
	m.seen = true
	if i > nearSamples {
		s.judge.look(r, i, m.groundM, &m.view)
	}
	if m.near = 2*gap <= spacing; m.near {
		s.judge.overSmooth(r, i, m.groundM, &m.smooth)
	}
}

// gather finds the cells from the ray before up to but without this one; there is
// at most one, if rays are nowhere more than a post apart.
func (b *bench) gather(c *comb, i int, before *trail, atCorner bool) {
	s, r, m := b.s, b.ray, &b.seams[i]
	for x := m.x; float64(x) < r.cross[i]; x++ {
		cell, groundM, there := m.cell, m.groundM, &m.view
		if x > m.x || !m.seen {
			cell, groundM = s.post(c, i, x)
			there = &b.here
		}
		t := (float64(x) - m.cross) / (r.cross[i] - m.cross)
		distM := m.distM + t*(r.dist[i]-m.distM)
		if cell < 0 || distM > s.opt.RadiusM {
			continue
		}
		if atCorner {
			col, row := c.post(i, x)
			if s.fan.owned(float64(col), float64(row)) == c.q.alongRows {
				continue
			}
		}
		out := &s.raster.Cells[cell]
		switch {
		case groundM != groundM:
			out.State = s.state(c, i, x)
			continue
		case m.blind || r.known < i:
			out.State = Hidden
			continue
		}
		o := b.wait(c)
		o.out, o.sample, o.x, o.distM, o.groundM = out, i, float64(x), distM, groundM
		if i > nearSamples {
			s.judge.look(r, i, groundM, &b.here)
			o.edge.between(there, &b.here, t)
		}
		if t <= 0.5 && m.near && x == m.x {
			o.smooth = m.smooth
		} else {
			s.judge.overSmooth(r, i, groundM, &o.smooth)
		}
		if s.judge.sways {
			o.azimuthDeg = before.azimuthDeg + t*math.Remainder(r.azimuthDeg-before.azimuthDeg, 360)
			o.turnDeg = r.backTurn * c.away(i) * c.q.sign
		}
	}
}

// away is how far from the pole a sample lies along the axis, in posts.
func (c *comb) away(i int) float64 { return math.Abs(c.teeth[i].along - c.start) }

// post returns column and row of the post at x on the line of sample i.
func (c *comb) post(i, x int) (col, row int) {
	if c.q.alongRows {
		return x, c.teeth[i].line
	}
	return c.teeth[i].line, x
}

// post returns the cell at a post, -1 if there is none, and its height, NaN where
// unknown.
func (s *sweep) post(c *comb, i, x int) (cell int, groundM float64) {
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
	return cell, float64(c.h[c.teeth[i].line*c.along+x*c.across])
}

// state of a post without a height.
func (s *sweep) state(c *comb, i, x int) State {
	col, row := c.post(i, x)
	if uint(col) >= uint(s.Cols) || uint(row) >= uint(s.Rows) {
		return Outside
	}
	return s.window.state(c.h[c.teeth[i].line*c.along+x*c.across])
}
