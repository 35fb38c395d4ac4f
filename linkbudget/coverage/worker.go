package coverage

import (
	"context"
	"math"
)

// worker is what one goroutine keeps: it follows rays and judges cells.
type worker struct {
	s         *sweep
	ray       *ray
	crossings [4]crossings
	posts     posts              // of the quadrant that the lanes stand on
	sureM     float64            // a cell beside a sample at less than that lies within the radius
	forks     []carried          // by level: what a ray carried where it forked
	cover     *coverRay          // nil without a cover
	darkM     [shadowRun]float32 // ground below lies in shadow

	lanes   lanes
	waiting int                  // lanes in use
	out     [lanesAtOnce]int32   // numbers of their cells
	cells   [lanesAtOnce]Cell    // the answers, before they go out
	clearM  [lanesAtOnce]float64 // from either end to the nearest inner point
	reaches []reach              // with probes among the lanes
	steady  []steadyCell         // of theirs
}

// addWithGround gives a cell a lane, with the last samples before it: a cell beside sample i of
// the ray, at the position x across the axis, its distance and the height of its ground, m.
func (w *worker) addWithGround(c *crossings, cell, i int, x, distM, groundM float64) {
	_, end := w.around(c, i, x)
	if !w.lanes.nearAnywhere(w.waiting, w.ray, c, i, x, distM, groundM+end.liftM+w.s.judge.rxM) {
		w.s.raster.put(cell, Hidden)
		return
	}
	d := w.ray.dist[i]
	w.lanes.d[w.waiting], w.lanes.beside[w.waiting] = float32(d), float32(distM*distM-d*d)
	w.add(c, cell, i, x, groundM)
}

// add is addWithGround for a lane that has its distance and the last samples, or knows where
// they are.
func (w *worker) add(c *crossings, cell, i int, x, groundM float64) {
	j, r, l, k := &w.s.judge, w.ray, &w.lanes, w.waiting&(lanesAtOnce-1) // no check per row
	w.out[k] = int32(cell)
	at, end := w.around(c, i, x)
	d, rise := r.dist[i], groundM+end.liftM+j.rxM-j.set.antennaM
	l.rise[k], l.lift[k] = float32(rise), float32(end.liftM)
	l.farEdge(k, j, r, i, rise)
	f := &r.fits[i]
	l.first[k], l.second[k], l.gap[k] = f.first, f.second, f.gap
	w.clearM[k] = d * float64(f.gap)
	l.gain[k] = 0
	if j.directional || math.Abs(rise) > flatTangent*d {
		distM := r.beside(c, i, x)
		l.gain[k] = float32(j.gain(r.azimuthDeg, r.backTurn*c.away(i)*c.q.sign, distM, rise/distM))
	}
	if j.steady.perOctave > 0 {
		clutter, steady2 := j.steady.at(r.beside(c, i, x))
		l.clutter[k], l.steady2[k] = float32(clutter), float32(steady2)
	}
	if w.cover != nil {
		w.see(c, k, i, x, at, end, rise, groundM)
	}
	if w.waiting++; w.waiting == lanesAtOnce {
		w.flush()
	}
}

// flush judges the cells that wait.
func (w *worker) flush() {
	l, n := &w.lanes, w.waiting
	if n == 0 {
		return
	}
	w.waiting = 0
	for k := n; k < lanesAtOnce; k++ {
		l.post[k] = -1 // looked at with the last vector
	}
	if w.cover != nil {
		w.overTops(n)
	} else {
		w.overGround(n)
	}
	w.s.judge.cells(l, &w.cells, n)
	w.s.raster.take(w.out[:n], w.cells[:n])
	w.spread()
}

func (s *sweep) newWorker() *worker {
	w := &worker{s: s, sureM: s.opt.RadiusM - 2*metresPerDegree*max(s.StepLonDeg, s.StepLatDeg),
		forks: make([]carried, s.rays.levels+1)}
	clutter, steady2 := s.judge.steady.at(1)
	for k := range lanesAtOnce {
		w.lanes.clutter[k], w.lanes.steady2[k] = float32(clutter), float32(steady2)
	}
	samples, steps := 1, s.steps()
	for i, q := range quadrants {
		step := steps[0]
		if q.alongRows {
			step = steps[1]
		}
		w.crossings[i] = s.rays.newCrossings(i, step)
		samples = max(samples, len(w.crossings[i].samples))
	}
	w.ray = newRay(samples)
	w.cover = newCoverRay(s.standings, w.ray, len(w.forks))
	return w
}

// sweep judges every cell of a piece.
func (w *worker) sweep(ctx context.Context, p piece) error {
	c := &w.crossings[p.quadrant]
	w.posts = posts{c.h, placesOf(int32(c.across)), placesOf(int32(c.sign * c.along))}
	for n := p.from; n < p.to; n++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		w.tree(c, len(w.forks)-1, n)
	}
	w.flush()
	return nil
}

// tree follows a ray and those that it forks into.
func (w *worker) tree(c *crossings, level, n int) {
	if w.follow(c, level, n) {
		w.tree(c, level-1, 2*n)
		w.tree(c, level-1, 2*n+1)
	}
}

// follow goes along ray n of a level, up to where it forks, and judges the cells
// that lie nearer to it than to its neighbours. It reports whether the ray forks.
func (w *worker) follow(c *crossings, level, n int) bool {
	from, end, ok := w.start(c, level, n)
	if !ok {
		return false
	}
	r, set := w.ray, &w.s.judge.set
	atCorner := math.Abs(place(level, n)) > w.s.rays.half(c.q)-2*float64(int(1)<<level)
	shades := w.s.shadow != nil && !atCorner
	for i := from; i < end; {
		first, stop := i, min(c.runEnd(i), end)
		if shades && w.s.lazy && w.passesDark(c, i, stop) {
			i = stop
			continue
		}
		w.layOut(c, stop)
		w.pass(i - 1)
		if stop = min(stop, r.n); i >= stop {
			break
		}
		probes := w.probesOf(c, i, stop, atCorner)
		shaded := shades && w.shaded(c, i, stop, probes > 0)
		if probes > 0 && !(shaded && r.h[i] < float64(w.darkM[0])) {
			w.overLevel(c, i, stop, probes)
			i = stop
			continue
		}
		for ; i < stop; i++ {
			if x, last := int(r.low[i]), int(r.high[i])-1; x <= last && c.onLine[i] {
				if !shaded || !w.inShadow(c, i, w.darkM[i-first], x, last) {
					w.addLine(c, i, atCorner)
				}
			}
			w.pass(i)
		}
	}
	if r.n < end && shades && w.s.lazy {
		last := r.across(r.along(c.samples[end-1].along))
		if low, high := r.passage(w.s.window, c, set); last < low || last > high {
			return false // it has left the cells, all dark
		}
	}
	return w.fork(c, level, end)
}

// runEnd is the end of the run in which sample i lies.
func (c *crossings) runEnd(i int) int {
	if i < c.even {
		return min(i+shadowRun, c.even)
	}
	return i + shadowRun - (i-c.even)%shadowRun
}

// layOut lays out what is missing of the ray up to a sample, where it is followed as far as it is needed.
func (w *worker) layOut(c *crossings, stop int) {
	r, set := w.ray, &w.s.judge.set
	if !w.s.lazy || r.n >= stop {
		return
	}
	from := r.n
	r.layOut(w.s.window, c, from, from, stop, set)
	r.fill(c, from, set)
	first := max(from-nearSamples, 0)
	r.fit(first, set)
	r.markTops(first)
	if w.cover != nil {
		w.cover.layOut(r, c, from)
	}
}

// start lays ray n of a level out, from its first sample, where the ray that it comes from
// forked, up to its last, before end, where it forks itself. It reports whether the ray, or
// one that comes from it, meets cells.
func (w *worker) start(c *crossings, level, n int) (from, end int, ok bool) {
	s, r := w.s, w.ray
	if math.Abs(place(level, n)) > s.rays.half(c.q)+float64(int(1)<<level) {
		return 0, 0, false
	}
	if top := len(w.forks) - 1; level < top {
		from = c.ends[level+1]
		r.carried.set(&w.forks[level+1])
	} else {
		r.carried.reset()
	}
	if w.cover != nil {
		w.cover.restore(level, &s.judge)
	}
	r.aim(s.rays, c, level, n)
	if r.passes(s.window, c, level, &s.judge.set) {
		return 0, 0, false
	}
	end = c.ends[level]
	first, laid := max(from-nearSamples, 0), end
	if s.lazy {
		laid = min(c.runEnd(from), end)
	}
	r.layOut(s.window, c, first, from, laid, &s.judge.set)
	r.fill(c, from, &s.judge.set)
	r.fit(first, &s.judge.set)
	r.markTops(first)
	if w.cover != nil {
		w.cover.begin(r, c, from)
	}
	return from, end, true
}

// fork keeps what the ray carries for the two that come from it, if it came to its end.
func (w *worker) fork(c *crossings, level, end int) bool {
	if level == 0 || end == len(c.samples) {
		return false
	}
	if w.layOut(c, end); w.ray.n < end {
		return false
	}
	w.pass(end - 1)
	w.forks[level].set(&w.ray.carried)
	if w.cover != nil {
		w.cover.fork(level)
	}
	return true
}

// addLine takes in the cells on the line of sample i.
func (w *worker) addLine(c *crossings, i int, atCorner bool) {
	r, t := w.ray, &c.samples[i]
	x, end := int(r.low[i]), int(r.high[i])
	// Nearly every cell has a known post, and known ground around and before it.
	if t.plain && !atCorner && r.straysLittle(i) && i-nearSamples <= r.known && x >= c.cells.low &&
		end <= c.cells.high &&
		r.dist[i] < w.sureM && w.s.voids.sound(c.post(i, x)) {
		for ; x < end; x++ {
			w.addPlain(c, i, x)
		}
		return
	}
	for ; x < end; x++ {
		w.addChecked(c, i, x, atCorner)
	}
}

// addChecked takes in the cell at x on the line of sample i, whatever it is.
func (w *worker) addChecked(c *crossings, i, x int, atCorner bool) {
	s, r := w.s, w.ray
	cell, groundM := s.post(c, i, x)
	if cell < 0 {
		return
	}
	distM := r.beside(c, i, float64(x))
	if distM > s.opt.RadiusM {
		return
	}
	if atCorner {
		col, row := c.post(i, x)
		if s.rays.owned(float64(col), float64(row)) == c.q.alongRows {
			return
		}
	}
	switch {
	case groundM != groundM:
		s.raster.put(cell, s.state(c, i, x))
		return
	case r.known < i-nearSamples: // of the last samples the cell has its own
		s.raster.put(cell, Hidden)
		return
	}
	w.addWithGround(c, cell, i, float64(x), distM, groundM)
}
