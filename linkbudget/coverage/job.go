package coverage

import "math"

// job is a cell between two rays of which all is known that the rays carry.
//
// Jobs wait until there are some dozen and are then done step by step, each step
// for all: a cell is a long chain of numbers that need one another, and only with
// several of them side by side has the processor something to do meanwhile.
type job struct {
	out                                   *Cell
	sample                                int     // of the ray
	x                                     float64 // position across the axis
	distM, groundM                        float64
	edge                                  edge // of the far ground, then of all
	smooth                                smoothHeights
	near                                  nearGround
	bullington, diffraction, loss, margin float64 // dB
	shiftM                                float64 // one standard deviation of the ground that decides
	variance                              float64 // of the loss, dB²
	excess                                float64 // of the smooth earth over Bullington's edge, dB
	sway                                          // only for antennas that do not radiate evenly all round
}

// wait returns the place of another cell.
func (b *bench) wait(c *comb) *job {
	if b.waiting == len(b.jobs) {
		b.flush(c)
	}
	b.waiting++
	return &b.jobs[b.waiting-1]
}

// flush does what waits. The edge, on which the loss depends strongly, is that of
// the cell's own path as nearly as it can be told; the smooth surface is that of
// the nearer ray.
func (b *bench) flush(c *comb) {
	j, jobs := &b.s.judge, b.jobs[:b.waiting]
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
		o := &jobs[i]
		o.excess = 0
		if h := &o.smooth; !h.free {
			o.excess = j.excess.at(h.distM, h.a, h.b, h.clearM)
		}
	}
	for i := range jobs {
		j.losses(&jobs[i])
	}
	for i := range jobs {
		o := &jobs[i]
		o.shiftM = j.doubt.shift(&o.edge, o.distM)
	}
	for i := range jobs {
		o := &jobs[i]
		o.variance += j.doubt.variance(&o.edge, o.distM, o.shiftM, o.bullington, o.diffraction, j.perWave)
	}
	for i := range jobs {
		o := &jobs[i]
		if o.near.unknown || o.loss != o.loss {
			o.out.State = Hidden
			continue
		}
		*o.out = Cell{LossDB: float32(o.loss), MarginDB: float32(o.margin), Probability: float32(phi(o.margin / math.Sqrt(o.variance))), State: Judged}
	}
}
