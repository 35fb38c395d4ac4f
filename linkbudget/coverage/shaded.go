package coverage

import (
	"context"
	"math"

	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/terrain/fault"
)

// shadowRun samples are looked at together: what the ray knows before the first holds for all.
const shadowRun = 16

// boundary is what a ray carries of the shadow.
type boundary struct {
	point  int      // of the hull
	riseM  float64  // of the shadow over A's antenna
	step   int      // of groundSteps
	behind horizons // of the last run looked at
}

// horizons are what a run of samples is seen to lie behind.
type horizons struct {
	tim, slope     float64 // of A's horizon and of the other point, from A
	perX           float64 // of that point
	curve          float64
	product        float64
	leastA, leastB float64 // slopes of A's horizon and of B's
	eitherA        float64 // slope of A's horizon that stands for leastB
}

// edge is how high over A's antenna the shadow reaches at the distance d, but for the doubt of the ground.
func (z *horizons) edge(d float64) float64 {
	half := (z.tim - z.slope) / 2 * d
	return z.curve*d*d + (z.tim+z.slope)/2*d - math.Sqrt(half*half+z.product*d*(d*z.perX-1))
}

// limits are as high as the doubt of the ground lets it reach: with B's horizon as it is, with A's
// instead, and with A's in any case.
func (z *horizons) limits(d float64) (b, either, a float64) {
	drop := z.curve * d * d
	return drop + d*z.slope - z.leastB*d*(d*z.perX-1), drop + d*(z.tim-z.eitherA), drop + d*(z.tim-z.leastA)
}

// rise is how high it reaches; limited tells that the doubt lets it reach no higher.
func (z *horizons) rise(d float64) (riseM float64, limited bool) {
	riseM = z.edge(d)
	b, either, a := z.limits(d)
	if limit := min(max(b, either), a); limit < riseM {
		return limit, true
	}
	return riseM, false
}

// lowest is no more than rise anywhere from one distance to another, near to it: edge hangs between its
// ends like a rope, so that nowhere it falls more steeply than from an end to the middle, and the
// limits are straight to a millimetre or bulge.
func (z *horizons) lowest(d0, d1 float64) float64 {
	e0, e, e1 := z.edge(d0), z.edge((d0+d1)/2), z.edge(d1)
	b0, either0, a0 := z.limits(d0)
	b1, either1, a1 := z.limits(d1)
	return min(e, 2*e-e0, 2*e-e1, max(min(b0, b1), min(either0, either1)), min(a0, a1)) - roundM
}

// shaded finds darkM for the samples from one up to another. It reports whether there may be shadow, and
// all that a judged cell needs is known. Over level ground darkM is the same for all.
func (w *worker) shaded(c *crossings, i, stop int, level bool) bool {
	r, s, set := w.ray, w.s.shadow, &w.s.judge.set
	if s == nil || r.dist[i] < s.fromM || r.dist[stop-1] >= w.sureM || r.known < stop ||
		!s.counts(r.tim) || !w.s.voids.sound(c.post(i, int(r.low[i]))) {
		return false
	}
	d, p, m := r.dist[stop-1], r.upper.points, &r.boundary
	if len(p) == 0 {
		return false
	}
	y := set.antennaM + m.riseM - set.curve*d*d
	k := min(m.point, len(p)-1)
	for k > 0 && (p[k-1].y-y)*(d-p[k].x) > (p[k].y-y)*(d-p[k-1].x) {
		k--
	}
	for k+1 < len(p) && (p[k+1].y-y)*(d-p[k].x) > (p[k].y-y)*(d-p[k+1].x) {
		k++
	}
	m.point = k
	z := horizons{tim: r.tim, slope: (p[k].y - set.antennaM) / p[k].x, perX: 1 / p[k].x, curve: set.curve}
	product := s.product[min(int(r.dist[i]*s.perM), shadowEntries)*len(groundSteps):][:len(groundSteps)]
	near := d/r.dist[max(i-nearSamples-1, 0)] - 1
	limited := false
	mostMoves := s.mostM * math.Sqrt(s.perWave*(s.perErrorM*(1.5*64/81)+2/r.dist[i]))
	try := func(step int) {
		z.product, z.leastB = product[step], s.leastB[step]
		z.leastA = s.leastA(r.timD, r.dist[i]-r.timD, groundSteps[step])
		z.eitherA = s.bluntFrom(mostMoves, groundSteps[step]) / math.Sqrt(s.perWave*r.timD)
		z.leastA = max(z.leastA, min(z.leastB*near, z.eitherA))
		m.riseM, limited = z.rise(d)
	}
	m.step = max(m.step-1, 0)
	for try(m.step); limited && m.step+1 < len(groundSteps); {
		before := m.riseM
		if try(m.step + 1); m.riseM < before {
			try(m.step)
			break
		}
		m.step++
	}
	m.behind = z
	if math.IsInf(m.riseM, -1) {
		m.riseM = 0
		return false
	}
	rise := 0.0
	if level {
		rise = z.lowest(r.dist[i], d)
	}
	for n := i; n < stop; n++ {
		if !level {
			rise, _ = z.rise(r.dist[n])
		}
		w.darkM[n-i] = float32(rise + set.antennaM - s.topM - roundM)
	}
	return true
}

// roundM is more than what a height is rounded by.
const roundM = 0.01

// inShadow notes that cells on the line of sample i, from x up to last, have no chance, where darkM
// says so of all.
func (w *worker) inShadow(c *crossings, i int, darkM float32, x, last int) bool {
	t := &c.samples[i]
	if x < c.cells.low || last >= c.cells.high || last-x > 1 || t.row == noCells ||
		!(c.h[t.base+x*c.across] < darkM) || !(c.h[t.base+last*c.across] < darkM) {
		return false
	}
	all, at := w.s.raster.percents, t.row+x*c.cellStep
	all[at], all[at+(last-x)*c.cellStep] = percentFrom, percentFrom
	return true
}

// The highest ground is noted of squares of posts, and whether all of it is level.
const (
	topBits = 4
	topSide = 1 << topBits
)

// darken prepares the shadow, where there is one, and notes what the squares are. Where all ground is known and every
// post is a cell, all cells that surely lie within the radius are in shadow from the start, unless found otherwise.
func (s *sweep) darken(ctx context.Context) error {
	w := s.window
	if s.opt.WholePercent && s.judge.fades == nil {
		s.shadow = newShadow(&s.judge, s.judge.set.reachM, s.standings)
	}
	if w.voids.unknown != nil && s.judge.set.fillM > 0 || w.every > 1 || w.firstCol < 0 || w.firstRow < 0 ||
		w.firstCol+w.cells.Cols > w.Cols || w.firstRow+w.cells.Rows > w.Rows {
		return nil
	}
	if s.lazy = s.shadow != nil; s.lazy {
		s.shadow.filled = make([]span, w.cells.Rows)
		for i := range s.shadow.filled {
			s.shadow.filled[i] = span{0, -1}
		}
	}
	s.topCols = (w.Cols + topSide - 1) / topSide
	rows := (w.Rows + topSide - 1) / topSide
	s.tops, s.level = make([]float32, s.topCols*rows), make([]bool, s.topCols*rows)
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(s.opt.Workers)
	for row := range rows {
		group.Go(fault.Guarded(func() error {
			out, level := s.tops[row*s.topCols:][:s.topCols], s.level[row*s.topCols:][:s.topCols]
			for k := range out {
				out[k] = noGround
			}
			first, end := row*topSide, min((row+1)*topSide, w.Rows)
			post := func(line, k int) []float32 { return w.h[line*w.stride:][k*topSide : min((k+1)*topSide, w.Cols)] }
			for line := first; line < end; line++ {
				for k := range out {
					out[k] = max(out[k], highestOf(post(line, k)))
				}
				if n := line - w.firstRow; s.lazy && n >= 0 && n < w.cells.Rows {
					s.darkenRow(n)
				}
			}
			for k := range out {
				level[k] = true
				for line := first; line < end && level[k]; line++ {
					level[k] = allAt(post(line, k), out[k])
				}
				if v := &w.voids; v.unknown != nil && v.unknown[row*topSide/squareSide*v.cols+k*topSide/squareSide] {
					out[k] = infinite
				}
			}
			return ctx.Err()
		}))
	}
	return group.Wait()
}

// allAt reports whether all ground has that height.
func allAt(h []float32, heightM float32) bool {
	for _, v := range h {
		if v != heightM {
			return false
		}
	}
	return true
}

// highestOf is that of known ground.
func highestOf(h []float32) float32 {
	a, b := float32(noGround), float32(noGround)
	for len(h) >= 2 {
		if h[0] > a {
			a = h[0]
		}
		if h[1] > b {
			b = h[1]
		}
		h = h[2:]
	}
	if len(h) > 0 {
		a = max(a, h[0])
	}
	return max(a, b)
}

// allBelow reports whether all ground lies below heightM in columns from c0 to c1 and rows from r0 to r1, and
// all cells there are in shadow from the start.
func (s *sweep) allBelow(heightM float64, c0, c1, r0, r1 int) bool {
	cells := s.cells
	c0, c1, r0, r1 = max(c0, 0), min(c1, s.Cols-1), max(r0, 0), min(r1, s.Rows-1)
	if c0 > c1 || r0 > r1 {
		return true
	}
	for r := r0 >> topBits; r <= r1>>topBits; r++ {
		for _, top := range s.tops[r*s.topCols:][c0>>topBits : c1>>topBits+1] {
			if !(float64(top) < heightM) {
				return false
			}
		}
	}
	c0, c1 = max(c0-s.firstCol, 0), min(c1-s.firstCol, cells.Cols-1)
	r0, r1 = max(r0-s.firstRow, 0), min(r1-s.firstRow, cells.Rows-1)
	if c0 > c1 || r0 > r1 {
		return true
	}
	north, south := s.shadow.filled[r0], s.shadow.filled[r1]
	return max(north.from, south.from) <= c0 && c1 <= min(north.to, south.to)
}

// passesDark reports whether all cells of the samples from one up to another, which need not be laid out,
// lie in shadow. A's horizon may stand on ground that was left out: so near to the receiver it must stand out as B's.
func (w *worker) passesDark(c *crossings, i, stop int) bool {
	r, s := w.ray, w.s.shadow
	z := &r.behind
	if r.added == 0 || z.perX == 0 || z.tim != r.tim || r.known < r.n {
		return false
	}
	s0, s1 := r.along(c.samples[i].along), r.along(c.samples[stop-1].along)
	cross0, d0 := r.at(s0)
	cross1, d1 := r.at(s1)
	// Beside the window the ground is unknown: only who leaves it for good may.
	if edge := float64(c.width - 1); min(cross0, cross1) < 0 && cross0-cross1 < 1 ||
		max(cross0, cross1) > edge && cross1-cross0 < 1 {
		return false
	}
	if d0 < s.fromM || !s.counts(z.tim) {
		return false
	}
	seen := *z
	seen.product = s.product[min(int(d0*s.perM), shadowEntries)*len(groundSteps)+r.step]
	seen.leastA = max(seen.leastA, min(seen.leastB*(d1/r.dist[r.added-1]-1), seen.eitherA))
	x0 := int(min(r.sides[0].across(s0), r.sides[0].across(s1))) - 1
	x1 := int(max(r.sides[1].across(s0), r.sides[1].across(s1))) + 1
	line0, line1 := c.samples[i].line, c.samples[stop-1].line
	line0, line1 = min(line0, line1), max(line0, line1)
	groundM := seen.lowest(d0, d1) + w.s.judge.set.antennaM - s.topM
	if c.q.alongRows {
		return w.s.allBelow(groundM, x0, x1, line0, line1)
	}
	return w.s.allBelow(groundM, line0, line1, x0, x1)
}
