package coverage

import (
	"math"

	"github.com/polereach/polereach/terrain"
)

// clearM is how far nothing stands on a path before either end, see linkbudget.
const clearM = terrain.AtWoodM

// coverRay is what stands along a ray, beside the bare ground of the ray itself: the far ground as a
// receiver in the open sees it, over the tops, and as one in a wood does, to whom the trees from it
// on to the edge of the wood are no ground.
type coverRay struct {
	s         *standings
	tall, lee *ray      // they share with the bare ray where its samples lie
	treesM    []float32 // what stands at the samples, m
	standsM   []float32 // that of it which is on the paths to the pole
	wood      []bool
	woods     woods
	forks     []forked
	over      lanes // what farEdge finds over the tops, of the lanes of the worker
	nearM     [lanesAtOnce][nearSamples]float32
	extraDB   [lanesAtOnce]float32 // what woods cost
}

// woods is what a ray carries of the woods it is in.
type woods struct {
	inRun   bool    // the last sample is in a wood that began at sample run
	run     int     //
	atPole  bool    // all samples so far are in the wood of the pole
	rimM    float64 // how far that wood goes, 0 for none
	rimTopM float64 // what stands there, above the datum
}

// forked is what is kept where a ray forks.
type forked struct {
	tall, lee carried
	woods     woods
}

// newCoverRay is nil without a cover.
func newCoverRay(s *standings, bare *ray, levels int) *coverRay {
	if s == nil {
		return nil
	}
	n := len(bare.h)
	c := &coverRay{s: s, tall: newRay(n), lee: newRay(n), forks: make([]forked, levels)}
	for _, r := range []*ray{c.tall, c.lee} {
		r.cross, r.dist, r.per = bare.cross, bare.dist, bare.per
	}
	c.treesM, c.standsM, c.wood = make([]float32, n), make([]float32, n), make([]bool, n)
	return c
}

// restore goes on where the ray that this one comes from forked, at its level, or begins at the pole.
func (c *coverRay) restore(level int) {
	if level < len(c.forks)-1 {
		f := &c.forks[level+1]
		c.tall.carried.set(&f.tall)
		c.lee.carried.set(&f.lee)
		c.woods = f.woods
		return
	}
	c.tall.carried.reset()
	c.lee.carried.reset()
	c.woods = woods{atPole: c.s.inTrees[0] && c.s.pole.Class == terrain.CoverWood && c.s.poleTopM > c.s.poleM}
}

func (c *coverRay) fork(level int) {
	f := &c.forks[level]
	f.tall.set(&c.tall.carried)
	f.lee.set(&c.lee.carried)
	f.woods = c.woods
}

// begin takes the ray as it is laid out, from its first sample on.
func (c *coverRay) begin(r *ray, x *crossings, from int, set *setting) {
	first := max(from-nearSamples, 0)
	for i := first; i < r.n; i++ {
		c.treesM[i], c.standsM[i], c.wood[i] = 0, 0, false
		if post := x.nearestPost(&x.samples[i], r.cross[i]); post >= 0 {
			k := c.s.at(post)
			c.treesM[i], c.wood[i] = k.heightM(), k.class() == terrain.CoverWood
			if r.dist[i] >= clearM {
				c.standsM[i] = c.treesM[i]
			}
		}
		h := r.h[i] + float64(c.standsM[i])
		y := h - set.curve*r.dist[i]*r.dist[i]
		c.tall.h[i], c.tall.y[i], c.lee.h[i], c.lee.y[i] = h, y, h, y
	}
	for _, o := range []*ray{c.tall, c.lee} {
		o.curve, o.sides, o.n, o.known = r.curve, r.sides, r.n, r.known
		o.markTops(first)
	}
	if c.woods.inRun { // of the ray that it comes from
		copy(c.lee.h[c.woods.run:first], r.h[c.woods.run:first])
		copy(c.lee.y[c.woods.run:first], r.y[c.woods.run:first])
	}
}

// pass goes on as the bare ray does.
func (c *coverRay) pass(r *ray, i int, set *setting) {
	far := i - nearSamples
	if far < 0 || far >= r.known {
		return
	}
	u := &c.woods
	if u.atPole = u.atPole && c.wood[far]; u.atPole {
		c.tall.h[far], c.tall.y[far], c.lee.h[far], c.lee.y[far] = r.h[far], r.y[far], r.h[far], r.y[far]
		u.rimM, u.rimTopM = r.dist[far], r.h[far]+float64(c.treesM[far])
	}
	switch {
	case c.wood[far] && !u.atPole && !u.inRun:
		c.lee.carried.set(&c.tall.carried)
		u.inRun, u.run = true, far
	case !c.wood[far] && u.inRun:
		copy(c.lee.h[u.run:far], c.tall.h[u.run:far])
		copy(c.lee.y[u.run:far], c.tall.y[u.run:far])
		u.inRun = false
	}
	if u.inRun {
		c.lee.h[far], c.lee.y[far] = r.h[far], r.y[far]
		c.lee.add(far, set)
	}
	c.tall.add(far, set)
}

// see finds the far edge over what stands, for lane k: a cell at a post beside sample i of the ray, of
// which the ground and the height of the antenna over that of the pole are given.
func (c *coverRay) see(j *judge, r *ray, k, post, i int, riseM, groundM float64) {
	s, u, d := c.s, &c.woods, r.dist[i]
	at := s.at(post)
	inWood, topM := s.inWood(at), float64(at.heightM())
	within := 0 // samples before the cell in its own wood
	c.nearM[k] = [nearSamples]float32{}
	for m := range min(nearSamples, i) {
		n := i - 1 - m
		switch {
		case inWood && within == m && c.wood[n]:
			within++
		case d-r.dist[n] >= clearM && !(u.atPole && c.wood[n]):
			c.nearM[k][m] = c.standsM[n]
		}
	}
	from, run := c.tall, i-within
	if within == nearSamples && u.inRun {
		from, run = c.lee, u.run
	}
	c.over.farEdge(k, j, from, i, riseM)
	c.extraDB[k] = 0
	depth, rimTopM := 0.0, 0.0
	if inWood {
		depth, rimTopM = d/2, groundM+topM
		if i > 0 {
			depth = (d - r.dist[i-1]) / 2
		}
		if run < i {
			depth, rimTopM = depth+d-r.dist[run], r.h[run]+float64(c.treesM[run])
		}
		if u.atPole && within == min(nearSamples, i) { // one wood around both ends
			depth = d
		}
		slope := max(float64(c.over.farB[k]), 0) - riseM/d
		c.extraDB[k] = s.woodDB(1, depth, d, groundM+s.rxM, rimTopM, slope, topM-s.rxM, j)
	}
	if u.rimM > 0 && depth < d {
		slope := max(float64(c.over.farA[k]), 0) + riseM/d
		c.extraDB[k] += s.woodDB(0, min(u.rimM, d), d, j.set.antennaM, u.rimTopM, slope, s.poleTopM-s.poleM, j)
	}
}

// woodDB is what a wood at an end costs over open country, as linkbudget has it: through it, or over
// its rim, depthM from the end, for an antenna lowM below the trees.
func (s *standings) woodDB(end int, depthM, distM, antennaM, rimTopM, slope, lowM float64, j *judge) float32 {
	rim := rimTopM + j.set.curve*depthM*(distM-depthM) - antennaM - slope*depthM
	if rim < 0 && lowM > 0 { // out through the tops
		depthM, rim = depthM*lowM/(lowM-rim), 0
	}
	through := s.throughDB(float32(depthM))
	rest := distM - depthM
	nu := max(rim, 0) * math.Sqrt(j.perWave*(1/max(depthM, 1e-3)+1/max(rest, clearM)))
	v := float32(nu) - 0.1
	knife := 6.9 + 2*dBPerOctave*log2(root(v*v+1)+v) // J(ν) of ITU-R P.526-15 eq (31)
	if over := max(knife-s.openDB[end], 0); over < through {
		return through + float32(min(max(rest, 0)/clearM, 1))*(over-through)
	}
	return through
}

// throughDB is the loss through a wood, by a table.
func (s *standings) throughDB(depthM float32) float32 {
	at := min(max(depthM*(1.0/throughM), 0), float32(len(s.through)-2))
	n := int32(at)
	return between(s.through, n, at-float32(n))
}

// The table of woods has an entry every throughM, up to where no more is lost.
const (
	throughM       = 4
	throughEntries = 400
)

// overTops judges the lanes over what stands: once with it, and where the terrain may hold it once
// without, for the mean of both and half of what they differ by as a doubt.
func (w *worker) overTops(n int) {
	j, l, c := &w.s.judge, &w.lanes, w.cover
	d := l.d
	j.constants.nearGround(l, &w.posts, n)
	j.constants.heights(l, n)
	bare := [7]row{l.farA, l.farB, l.farX, l.farR, l.farQ, l.farU, l.farV}
	nearH := l.nearH
	o := &c.over
	l.farA, l.farB, l.farX, l.farR, l.farQ, l.farU, l.farV = o.farA, o.farB, o.farX, o.farR, o.farQ, o.farU, o.farV
	for k := range n {
		l.farR[k] += l.d[k] - d[k]
		for m := range nearSamples {
			if l.nearH[m][k] > noGround/2 {
				l.nearH[m][k] += c.nearM[k][m]
			}
		}
	}
	w.edges(n)
	j.constants.verdicts(l, n)
	if !c.s.layered {
		return
	}
	with := l.loss
	l.farA, l.farB, l.farX, l.farR, l.farQ, l.farU, l.farV = bare[0], bare[1], bare[2], bare[3], bare[4], bare[5],
		bare[6]
	l.nearH = nearH
	j.constants.edges(l, n)
	j.constants.verdicts(l, n)
	for k := range n {
		half := (with[k] - l.loss[k]) / 2
		l.clutter[k] += half
		l.steady2[k] += half * half
	}
	j.constants.verdicts(l, n)
}

// edges finds the edges of the lanes and what the smooth earth adds.
func (w *worker) edges(n int) {
	j, l := &w.s.judge, &w.lanes
	j.constants.edges(l, n)
	j.constants.smoothEarths(l, n)
	for k, within := range l.within[:n] {
		if within != 0 {
			l.excess[k] = float32(j.excess.at(float64(l.d[k]), float64(l.hA[k]), float64(l.hB[k]), w.clearM[k]))
		}
	}
}

// postOf is the number of the post at x on the line of sample i.
func (c *crossings) postOf(i int, x float64) int { return c.samples[i].line*c.along + int(x)*c.across }

// lift is how far the path to a cell is reckoned over its antenna, where the cover has houses there.
func (w *worker) lift(c *crossings, i int, x float64) float64 {
	if w.cover == nil {
		return 0
	}
	return w.s.standings.ending(c.postOf(i, x)).liftM
}

// see takes what stands into lane k, the cell at x on the line of sample i.
func (w *worker) see(c *crossings, k, i int, x, riseM, groundM float64) {
	post := c.postOf(i, x)
	w.cover.see(&w.s.judge, w.ray, k, post, i, riseM, groundM)
	clutter, steady2 := w.s.standings.ending(post).steady.at(w.ray.beside(c, i, x))
	w.lanes.clutter[k], w.lanes.steady2[k] = float32(clutter)+w.cover.extraDB[k], float32(steady2)
}
