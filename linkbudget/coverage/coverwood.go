package coverage

import "math"

// wayOut is how a path leaves a wood that begins nearM before an end and whose rim lies depthM from it, on a
// way of distM in all: heights of the antenna and of the trees at the rim above the datum; the slope of the
// ray, over the level; and how far that is below the trees where the wood begins.
type wayOut struct{ nearM, depthM, distM, antennaM, rimTopM, slope, lowM float64 }

// rim is how far the rim stands over the path.
func (w *wayOut) rim(curve float64) float64 {
	return w.rimTopM + curve*w.depthM*(w.distM-w.depthM) - w.antennaM - w.slope*w.depthM
}

// leaves is where a path leaves a wood: through the tops where it first rises over them, along the samples from the
// first one of the wood on, by steps, or through the rim, and how far that stands over the path.
func (c *coverRay) leaves(w *wayOut, r *ray, first, step int, curve float64) (depthM, rimM float64) {
	if w.lowM <= 0 {
		return w.nearM, 0
	}
	beforeM, before := w.nearM, w.lowM
	for n := first; n >= 0 && n < r.n; n += step {
		x := r.dist[n]
		if step < 0 {
			x = w.distM - x
		}
		if x >= w.depthM {
			break
		}
		if !c.kinds[n].wood() || x <= beforeM {
			continue
		}
		low := r.h[n] + float64(c.kinds[n].heightM()) + curve*x*(w.distM-x) - w.antennaM - w.slope*x
		if low < 0 {
			return beforeM + (x-beforeM)*before/(before-low), 0
		}
		beforeM, before = x, low
	}
	if rimM = w.rim(curve); rimM < 0 {
		return beforeM + (w.depthM-beforeM)*before/(before-rimM), 0
	}
	return w.depthM, rimM
}

// ownWood is the wood that a cell is in, or that begins nearM before it: the last samples before the cell that
// are in it, counted back from the cell, and how far it counts as one around the cell, 0 to 1.
type ownWood struct {
	from, to     int
	nearM, share float64
}

// woodAt finds that of a cell where something of a kind stands, beside sample i.
func (c *coverRay) woodAt(r *ray, at kind, i int) (w ownWood) {
	if c.s.inWood(at) {
		w.share = 1
		for w.to < min(nearSamples, i) && c.kinds[i-1-w.to].wood() {
			w.to++
		}
		return w
	}
	if !c.s.inTrees[1] || at.wood() || houses(at.class()) && !c.s.own[1] {
		return w
	}
	d, before := r.dist[i], r.dist[i] // of the sample looked at last
	for m := range min(nearSamples, i) {
		n := i - 1 - m
		nearM := d - (r.dist[n]+before)/2
		if nearM >= clearM {
			return w
		}
		if k := c.kinds[n]; k.wood() {
			if c.s.rxM >= float64(k.heightM()) && !c.s.own[1] {
				return w
			}
			w = ownWood{m, m + 1, nearM, c.s.share(1, nearM)}
			for w.to < min(nearSamples, i) && c.kinds[i-1-w.to].wood() {
				w.to++
			}
			return w
		}
		before = r.dist[n]
	}
	return w
}

// woodDB is what a wood at an end costs over open country, as linkbudget has it: through it, or over
// its rim.
func (s *standings) woodDB(end int, through float32, depthM, rimM, distM, perWave float64) float32 {
	if s.own[end] {
		return 0
	}
	if through <= s.rimDB[end] {
		return through
	}
	over := s.overDB(end, depthM, rimM, distM, perWave)
	if over >= through {
		return through
	}
	if restM := distM - depthM; restM < clearM {
		return through + float32(restM*(1.0/clearM))*(over-through)
	}
	return over
}

// overDB is what the way over its rim costs more than open country.
func (s *standings) overDB(end int, depthM, rimM, distM, perWave float64) float32 {
	if rimM <= 0 {
		return s.rimDB[end]
	}
	b := distM - depthM
	if b < clearM {
		b = clearM
	}
	over := s.knife.of(float32(rimM*rimM*perWave*(depthM+b)/(depthM*b))) - s.openDB[end]
	if over < 0 {
		over = 0
	}
	return over
}

// woodsDB is what the woods at the ends cost behind an edge, or in sight.
func (c *coverRay) woodsDB(j *judge, r *ray, w *ways, i int, e farEdge, tim float64, bracket int) float32 {
	s, u := c.s, &c.woods
	var atCell, atPole float32
	if w.own.share > 0 {
		cell := w.cell
		cell.slope = float64(max(e.b, 0)) - w.climb
		// Where the way over the rim costs nothing, none that leaves it before does.
		if s.rimDB[1] > 0 || cell.distM-cell.depthM < clearM ||
			s.overDB(1, cell.depthM, cell.rim(j.set.curve), cell.distM, j.perWave) > 0 {
			cell.lowM = w.topM - cell.antennaM - cell.slope*cell.nearM
			depthM, overM := c.leaves(&cell, r, i-1-w.own.from, -1, j.set.curve)
			atCell = s.woodDB(1, s.throughDB(float32(depthM-cell.nearM)), depthM, overM, cell.distM, j.perWave)
		}
	}
	if w.share > 0 {
		atPole = c.poleWoodDB(j, r, w, float64(max(e.a, 0)), tim, &c.pole[bracket])
	}
	if w.one { // its trees count once
		less, more := &atCell, &atPole
		if *less > *more {
			less, more = more, less
		}
		*less = min(*less, max(s.throughDB(float32(w.cell.distM-w.own.nearM-u.nearM))-*more, 0))
		if s.own[0] || s.own[1] {
			*less, *more = 0, 0
		}
	}
	return float32(w.share)*atPole + float32(w.own.share)*atCell
}

// atPole is the wood of the pole as the last cell left it.
type atPole struct {
	ray           int
	rimM, tim     float64
	depthM, overM float64
	through       float32
}

// poleWoodDB is what that of the pole costs a cell behind A's horizon, a over the direct ray, or in sight. Behind a
// horizon on the far ground the way out does not depend on the cell.
func (c *coverRay) poleWoodDB(j *judge, r *ray, w *ways, a, tim float64, last *atPole) float32 {
	s, u, distM := c.s, &c.woods, w.cell.distM
	if a > 0 && !u.atPole && last.ray == c.number && last.tim == tim && last.rimM == w.rimM {
		return s.woodDB(0, last.through, last.depthM, last.overM, distM, j.perWave)
	}
	out := wayOut{u.nearM, min(w.rimM, distM), distM, j.set.antennaM, w.rimTopM, a + w.climb, 0}
	out.lowM = u.nearTop - out.antennaM - out.slope*out.nearM
	depthM, overM := c.leaves(&out, r, 0, 1, j.set.curve)
	through := s.throughDB(float32(depthM - u.nearM))
	if a > 0 && !u.atPole {
		*last = atPole{c.number, w.rimM, tim, depthM, overM, through}
	}
	return s.woodDB(0, through, depthM, overM, distM, j.perWave)
}

const (
	widestM   = 1600 // no way is looked for through wider woods: there it costs no more the wider they are
	mostLooks = 8    // at a wood, for how deep a path goes into it
)

// wood is that which a sample is in, from a sample on and up to before another; wide ones are none.
type wood struct {
	at, from, end, ray int
	ok, whole          bool // it does not go on at the cell
}

// woodOf is the wood that a sample before sample i is in. Neighbours ask for the same.
func (c *coverRay) woodOf(r *ray, at, i int, last *wood) wood {
	if last.at == at && last.ray == c.number && last.whole && last.end < i {
		return *last
	}
	*last = wood{at: at, from: at, end: at, ray: c.number}
	w := last
	for w.end < i && c.kinds[w.end].wood() && r.dist[w.end]-r.dist[at] <= widestM {
		w.end++
	}
	if w.end > at {
		for w.from > 0 && c.kinds[w.from-1].wood() && r.dist[at]-r.dist[w.from] <= widestM {
			w.from--
		}
		w.ok = r.dist[w.end]-r.dist[w.from] <= widestM
	}
	w.whole = w.end < i
	return *w
}

// passage is a way through one wood and over the rest, to a receiver at sample i: what that wood costs, by
// linkbudget's rule, and the edge of the rest. It is the wood just before the receiver, or the one that is
// steepest as seen from there, backM from the pole, or from the pole: of linkbudget's sets of woods those of a single
// one. One that costs as much as the tops do more is no way; for the last samples, here the ray's, a decibel is given.
func (c *coverRay) passage(j *judge, r, tall *ray, k, i int, riseM float64, e *seen, more float32) (cost float32,
	past farEdge) {
	ground, tops := e.ground, e.tops
	d := r.dist[i]
	g := groundEdge{d, riseM*r.per[i] - j.set.curve*d, j.set.antennaM, float64(ground.a), float64(ground.b), 0}
	if g.a < 0 {
		g.below = min(math.Sqrt(float64(ground.q)), -clearNu/math.Sqrt(j.perWave*d))
	}
	if c.lanes.nearLanes>>k&1 != 0 {
		cost, from := c.nearDB(&g, r, i)
		if cost < infinite && from == i-nearSamples {
			return cost, tops
		}
		if cost < infinite {
			return cost, ground.over(tall, &g, from, i)
		}
		more++
	}
	if tops.a < 0 || i < 2 {
		return infinite, past
	}
	w := wood{}
	if tops.b > ground.b {
		w = c.woodOf(r, r.sampleBefore(i, e.backM), i, &c.last[0])
	}
	if !w.ok && tops.a > ground.a {
		w = c.woodOf(r, tall.timI, i, &c.last[1])
	}
	if !w.ok {
		return infinite, past
	}
	depthM, step := 0.0, (w.end-w.from+mostLooks-1)/mostLooks
	for n := w.from; n < w.end; n += step {
		if over := g.under(tall.y[n], r.dist[n]); over > 0 && tall.y[n] > r.y[n] {
			depthM += min(2*over/float64(c.kinds[n].heightM()), 1) * (r.dist[min(n+step, w.end)] - r.dist[n])
		}
	}
	if cost = c.s.throughDB(float32(depthM)); depthM == 0 || cost >= more {
		return infinite, past
	}
	return cost, ground.over(tall, &g, w.from, w.end)
}

// nearDB is what the way through the woods among the last samples before a receiver costs, and the sample where it
// begins: a wood goes on behind them. Houses have no way through, and of woods wider than widestM it is not looked for.
func (c *coverRay) nearDB(g *groundEdge, r *ray, i int) (cost float32, first int) {
	for first = i - nearSamples; first > 0 && c.kinds[first].wood() && c.kinds[first-1].wood(); first-- {
		if r.dist[i]-r.dist[first] > widestM {
			return infinite, first
		}
	}
	if first < 1 {
		return infinite, first
	}
	for n := i - nearSamples; n < i; n++ {
		x := r.dist[n]
		if rise := r.y[n] - g.antennaM - g.slope*x; rise >= 0 {
			g.a, g.b = max(g.a, rise/x), max(g.b, rise/(g.distM-x))
		}
	}
	depthM := 0.0
	for n := first; n < i; n++ {
		at, x := c.kinds[n], r.dist[n]
		if heightM := float64(at.heightM()); at.stands() && g.distM-x >= clearM {
			if over := g.under(r.y[n]+heightM, x); over > 0 {
				if !at.wood() {
					return infinite, first
				}
				depthM += min(2*over/heightM, 1) * (r.dist[n+1] - r.dist[n-1]) / 2
			}
		}
		if depthM > 0 && (n == i-1 || !c.kinds[n+1].wood()) {
			cost, depthM = cost+c.s.throughDB(float32(depthM)), 0
		}
	}
	return cost, first
}
