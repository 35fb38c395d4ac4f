package coverage

// job is a cell beside a ray of which all is known that the ray carries.
type job struct {
	out            *Cell
	sample         int     // of the ray
	x              float64 // position across the axis
	distM, groundM float64
	edge           edge // of the far ground, then of all
	smooth         smoothHeights
	near           nearGround
	sway
}

// wait returns the place of another cell.
func (b *bench) wait(c *comb) *job {
	if b.waiting == len(b.jobs) {
		b.flush(c)
	}
	b.waiting++
	return &b.jobs[b.waiting-1]
}

// flush does what waits, step by step, each step for all: a cell is a long chain
// of numbers that need one another, and only with several of them side by side has
// the processor something to do meanwhile.
//
// The edge, on which the loss depends strongly, is that of the cell's own path as
// nearly as it can be told; the smooth surface is that of the nearer ray.
func (b *bench) flush(c *comb) {
	j, jobs, l := &b.s.judge, b.jobs[:b.waiting], &b.lanes
	if len(jobs) == 0 {
		return
	}
	b.waiting = 0
	for i := range jobs {
		o := &jobs[i]
		j.near(b.ray, c, o.sample, o.x, o.distM, o.groundM, &o.near)
	}
	for i := range jobs {
		o := &jobs[i]
		if o.sample > nearSamples {
			o.edge.join(&o.near, o.distM, j.perWave)
		} else {
			o.edge.alone(&o.near, o.distM, j.perWave)
		}
	}
	for i := range jobs {
		j.fillLane(l, i, &jobs[i])
	}
	j.scene.smoothEarths(l, len(jobs))
	for i := range jobs {
		if l.within[i] != 0 {
			h := &jobs[i].smooth
			l.excess[i] = float32(j.excess.at(h.distM, h.a, h.b, h.clearM))
		}
	}
	j.scene.verdicts(l, len(jobs))
	for i := range jobs {
		o := &jobs[i]
		if o.near.unknown || l.loss[i] != l.loss[i] {
			o.out.State = Hidden
			continue
		}
		*o.out = Cell{LossDB: l.loss[i], MarginDB: l.margin[i], Probability: l.probability[i], State: Judged}
	}
}

// fillLane hands a cell over.
func (j *judge) fillLane(l *lanes, i int, o *job) {
	d, e, h := o.distM, &o.edge, &o.smooth
	rise := o.groundM + j.rxM - j.set.antennaM
	l.d[i], l.rise[i], l.nu[i] = float32(d), float32(rise), float32(e.nu)
	l.sigma[i] = 0
	l.a[i], l.b[i] = 1, 1
	l.xA[i], l.restA[i], l.xB[i], l.restB[i] = 1, 1, 1, 1
	if e.known {
		l.sigma[i] = float32(j.sigmaM)
		l.xA[i], l.restA[i] = float32(e.xA), float32(d-e.xA)
		l.xB[i], l.restB[i] = float32(e.xB), float32(d-e.xB)
		if e.nu > 0 {
			l.a[i], l.b[i] = float32(e.a), float32(e.b)
		}
	}
	l.smooth[i], l.hA[i], l.hB[i] = 1, float32(h.a), float32(h.b)
	if h.free {
		l.smooth[i] = 0
	}
	l.gain[i] = float32(j.gain(&o.sway, d, rise/d))
	clutter, steady2 := j.steady.at(d)
	l.clutter[i], l.steady2[i] = float32(clutter), float32(steady2)
}
