package coverage

import "math"

// bench is what one worker keeps.
type bench struct {
	s     *sweep
	ray   *ray
	combs [4]comb
	posts posts   // of the comb that the lanes stand on
	sureM float64 // a cell beside a sample at less than that lies within the radius
	forks []front // by level: what a ray carried where it forked

	lanes   lanes
	waiting int                  // lanes in use
	out     [lanesAtOnce]int32   // numbers of their cells
	cells   [lanesAtOnce]Cell    // the answers, before they go out
	clearM  [lanesAtOnce]float64 // from either end to the nearest inner point
}

// wait gives a cell a lane, with the last samples before it: a cell beside sample i of
// the ray, at the position x across the axis, its distance and the height of its ground, m.
//
// The edge, on which the loss depends strongly, is that of the cell's own path as
// nearly as it can be told; the smooth surface is that of the nearer ray.
func (b *bench) wait(c *comb, cell, i int, x, distM, groundM float64) {
	if !b.lanes.nearAnywhere(b.waiting, b.ray, c, i, x, distM, groundM+b.s.judge.rxM) {
		b.s.raster.Cells[cell] = Hidden.Cell()
		return
	}
	d := b.ray.dist[i]
	b.lanes.d[b.waiting], b.lanes.beside[b.waiting] = float32(d), float32(distM*distM-d*d)
	b.take(c, cell, i, x, groundM)
}

// take is wait for a lane that has its distance and the last samples, or knows where
// they are.
func (b *bench) take(c *comb, cell, i int, x, groundM float64) {
	j, r, l, k := &b.s.judge, b.ray, &b.lanes, b.waiting&(lanesAtOnce-1) // no check per row
	b.out[k] = int32(cell)
	d, rise := r.dist[i], groundM+j.rxM-j.set.antennaM
	l.rise[k] = float32(rise)
	l.look(k, j, r, i, rise)
	f := &r.fits[i]
	l.first[k], l.second[k], l.gap[k] = f.first, f.second, f.gap
	b.clearM[k] = d * float64(f.gap)
	l.gain[k] = 0
	if j.sways || math.Abs(rise) > flatTangent*d {
		distM := r.beside(c, i, x)
		l.gain[k] = float32(j.gain(sway{r.azimuthDeg, r.backTurn * c.away(i) * c.q.sign}, distM, rise/distM))
	}
	if j.steady.perOctave > 0 {
		clutter, steady2 := j.steady.at(r.beside(c, i, x))
		l.clutter[k], l.steady2[k] = float32(clutter), float32(steady2)
	}
	if b.waiting++; b.waiting == lanesAtOnce {
		b.flush()
	}
}

// flush judges the cells that wait.
func (b *bench) flush() {
	j, l, n := &b.s.judge, &b.lanes, b.waiting
	if n == 0 {
		return
	}
	b.waiting = 0
	for k := n; k < lanesAtOnce; k++ {
		l.post[k] = -1 // looked at with the last vector
	}
	j.scene.nearGround(l, &b.posts, n)
	j.scene.heights(l, n)
	j.scene.edges(l, n)
	j.scene.smoothEarths(l, n)
	for k, within := range l.within[:n] {
		if within != 0 {
			l.excess[k] = float32(j.excess.at(float64(l.d[k]), float64(l.hA[k]), float64(l.hB[k]), b.clearM[k]))
		}
	}
	j.scene.verdicts(l, n)
	l.cells(&b.cells, n)
	all := b.s.raster.Cells
	for k, cell := range b.out[:n] {
		all[cell] = b.cells[k]
	}
}
