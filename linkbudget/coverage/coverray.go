package coverage

import (
	"github.com/polereach/polereach/terrain"
)

// clearM is how far nothing stands on a path before either end, see linkbudget.
const clearM = terrain.AtWoodM

// coverRay is what stands along a ray, beside the bare ground of the ray itself: the far ground as a
// receiver in the open sees it, over the tops, and as one in a wood does, to whom the trees from it
// on to the edge of the wood are no ground: what stood before that wood, and the bare ground since.
type coverRay struct {
	s         *standings
	tall, lee *ray   // both of what stands there alone; lee as it was before the wood that the last sample is in
	kinds     []kind // what stands at the samples
	number    int    // of the ray, so far
	last      [2]wood
	woods     woods
	pole      [2]atPole // over what stands, and over the bare ground
	forks     []forked
	lanes     tops
}

// woods is what a ray carries of the woods it is in.
type woods struct {
	inRun   bool    // the last sample is in a wood that began at sample run
	run     int     //
	looking bool    // no wood so far, and one of the pole may yet begin
	atPole  bool    // the last sample is in the wood of the pole, which begins at it or less than clearM before
	nearM   float64 // where that wood begins
	nearTop float64 // what stands there, above the datum
	rimM    float64 // how far it goes, 0 for none
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
	c := &coverRay{s: s, tall: newRay(n), lee: &ray{}, forks: make([]forked, levels), kinds: make([]kind, n)}
	c.tall.cross, c.tall.dist, c.tall.per = bare.cross, bare.dist, bare.per
	c.tall.levelFrom = nil // what stands there is cleared away sample by sample
	*c.lee = *c.tall
	return c
}

// restore goes on where the ray that this one comes from forked, at its level, or begins at the pole.
func (c *coverRay) restore(level int, j *judge) {
	if level == len(c.forks)-1 {
		s, in := c.s, c.s.pole.Class == terrain.CoverWood
		c.woods = woods{atPole: s.inTrees[0] && in && (s.own[0] || s.poleTopM > s.poleM), looking: s.inTrees[0] && !in,
			nearTop: j.set.groundM + s.poleTopM}
		c.tall.carried.reset()
		return
	}
	f := &c.forks[level+1]
	c.tall.carried.set(&f.tall)
	if c.woods = f.woods; c.woods.inRun {
		c.lee.carried.set(&f.lee)
	}
}

func (c *coverRay) fork(level int) {
	f := &c.forks[level]
	f.tall.set(&c.tall.carried)
	if f.woods = c.woods; c.woods.inRun {
		f.lee.set(&c.lee.carried)
	}
}

// begin takes the ray as it is laid out, from its first sample on.
func (c *coverRay) begin(r *ray, x *crossings, from int) {
	first := max(from-nearSamples, 0)
	c.number++
	if c.woods.looking && from == 0 {
		c.woods.nearM = c.s.woodFromM(r.azimuthDeg)
		c.woods.looking = c.woods.nearM < clearM
	}
	c.layOut(r, x, first)
}

// layOut takes the ray as it is laid out from a sample on.
func (c *coverRay) layOut(r *ray, x *crossings, first int) {
	samples, n := x.samples[first:r.n], r.n-first
	crosses, dist, h, y := r.cross[first:][:n], r.dist[first:][:n], r.h[first:][:n], r.y[first:][:n]
	kinds := c.kinds[first:][:n]
	tallH, tallY := c.tall.h[first:][:n], c.tall.y[first:][:n]
	for i := range samples {
		k, standsM := c.s.beside(x, &samples[i], crosses[i]), 0.0
		if k.stands() && dist[i] >= clearM {
			standsM = float64(k.heightM())
		}
		kinds[i], tallH[i], tallY[i] = k, h[i]+standsM, y[i]+standsM
	}
	for _, o := range []*ray{c.tall, c.lee} {
		o.curve, o.sides, o.n, o.known, o.landA, o.landB = r.curve, r.sides, r.n, r.known, landMemo{}, landMemo{}
	}
	c.tall.markTops(first)
}

// pass goes on from sample i, with what stands on the way.
func (w *worker) pass(i int) {
	r, set := w.ray, &w.s.judge.set
	if w.cover == nil {
		r.pass(i, set)
		return
	}
	for last := min(i-nearSamples, r.known-1); r.added <= last; r.added++ {
		w.cover.pass(r, r.added, set)
		r.add(r.added, set)
	}
}

// pass takes a sample in, which the bare ray does next.
func (c *coverRay) pass(r *ray, far int, set *setting) {
	u, wood := &c.woods, c.kinds[far].wood()
	if u.looking || u.atPole {
		c.leave(r, far)
	}
	if u.inRun = u.inRun && wood; wood && !u.atPole && !u.inRun {
		c.lee.carried.set(&c.tall.carried)
		u.inRun, u.run = true, far
	}
	if c.tall.y[far] > r.y[far] {
		c.add(c.tall, far, set)
	}
}

// leave follows the wood of the pole, if one begins there, to where it ends: its trees stand on no path.
func (c *coverRay) leave(r *ray, far int) {
	u, wood, topM := &c.woods, c.kinds[far].wood(), r.h[far]+float64(c.kinds[far].heightM())
	if u.looking {
		if u.looking = r.dist[far] < 2*clearM; wood {
			u.looking, u.atPole, u.nearTop = false, true, topM
		}
	}
	if u.atPole = u.atPole && wood; u.atPole {
		c.tall.h[far], c.tall.y[far] = r.h[far], r.y[far]
		u.rimM, u.rimTopM = (r.dist[far]+r.dist[far+1])/2, topM // half way to the next sample, as at a cell
	}
}

// add is that of a ray. Of one that only its edges are wanted of it leaves the rest out.
func (c *coverRay) add(r *ray, i int, set *setting) {
	if !c.s.layered {
		r.add(i, set)
		return
	}
	r.rise(r.dist[i], r.y[i], i, set)
	r.upper.push(r.dist[i], r.y[i], r.h[i]-set.antennaM, i)
}

// ways are those out of the woods at both ends: of the cell's own, which may be one around both, with its trees at
// the cell up to topM; and of the pole's, up to a rim, with what share it counts.
type ways struct {
	own                  ownWood
	cell                 wayOut
	one                  bool
	topM, climb          float64 // the slope from the pole to the cell
	rimM, rimTopM, share float64
}

// differs reports whether the ways out over what stands lie a metre and more over those over the bare ground.
func (w *ways) differs(e *seen) bool {
	const tellsM = 1
	above := func(tops, ground float32) float64 { return float64(max(tops, 0) - max(ground, 0)) }
	return w.share > 0 && above(e.tops.a, e.ground.a)*w.rimM > tellsM ||
		w.own.share > 0 && above(e.tops.b, e.ground.b)*w.cell.depthM > tellsM
}

// see finds the far edge over what stands, for lane k: a cell where something of a kind stands, beside sample
// i of the ray, of which the ground and the height of the antenna over that of the pole are given.
func (c *coverRay) see(j *judge, l *lanes, r *ray, k int, at kind, i int, riseM, groundM, openDB float64) {
	s, u, d := c.s, &c.woods, r.dist[i]
	own := c.woodAt(r, at, i)
	c.lanes.clear(k)
	for m, n := 0, i-1; m < nearSamples && n >= 0; m, n = m+1, n-1 {
		before := c.kinds[n]
		if !before.stands() || r.dist[n] < clearM || d-r.dist[n] < clearM || u.atPole && before.wood() {
			continue
		}
		heightM := before.heightM()
		if m >= own.from && m < own.to {
			if heightM *= float32(1 - own.share); heightM == 0 {
				continue
			}
		}
		c.lanes.stands(k, m, heightM)
	}
	from, run := c.tall, i-own.to
	if own.to == nearSamples && u.inRun {
		if run = u.run; own.share > 0.5 {
			from = c.lee
		}
	}
	edge := c.edge(j, l, r, k, from, i, riseM)
	w := ways{own: own, climb: riseM / d, cell: wayOut{nearM: own.nearM, distM: d, antennaM: groundM + s.rxM}}
	if own.share > 0 {
		cell := &w.cell
		cell.depthM, cell.rimTopM = d/2, groundM+float64(at.heightM())
		if i > 0 {
			cell.depthM = (d - r.dist[i-1]) / 2
		}
		w.topM = cell.rimTopM
		if run < i {
			cell.depthM, cell.rimTopM = cell.depthM+d-r.dist[run], r.h[run]+float64(c.kinds[run].heightM())
		}
		if own.nearM > 0 {
			n := i - 1 - own.from
			w.topM = r.h[n] + float64(c.kinds[n].heightM())
		}
		if w.one = u.atPole && own.to == min(nearSamples, i); w.one {
			cell.depthM = d
		}
		openDB *= 1 - own.share*min((cell.depthM-own.nearM)*(1.0/clearM), 1) // of what the wood does not replace
	}
	pole := s.poleOpenDB
	if w.one || u.rimM > 0 && w.cell.depthM < d {
		w.rimM, w.rimTopM, w.share = u.rimM, u.rimTopM, s.share(0, u.nearM)
		if w.one {
			w.rimM, w.rimTopM = d, groundM+float64(at.heightM())
		}
		pole *= 1 - w.share*min((w.rimM-u.nearM)*(1.0/clearM), 1)
	}
	if own.share > 0 || w.share > 0 {
		extra := c.woodsDB(j, r, &w, i, edge.tops, max(r.tim, from.tim), 0)
		if s.layered && w.differs(&edge) {
			extra = (extra + c.woodsDB(j, r, &w, i, edge.ground, r.tim, 1)) / 2
		}
		c.lanes.extraDB[k] = extra
	} else {
		c.lanes.extraDB[k] = 0
	}
	c.lanes.openDB[k] = float32(openDB + pole)
	c.lanes.pastLanes &^= 1 << k
	if more := c.more(j, r, k, i, riseM, &edge); more > 0 {
		if cost, past := c.passage(j, r, from, k, i, riseM, &edge, more); cost < infinite {
			c.lanes.pastLanes |= 1 << k
			c.lanes.throughDB[k] = cost
			c.lanes.past.put(k, past)
		}
	}
}
