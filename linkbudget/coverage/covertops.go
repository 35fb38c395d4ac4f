package coverage

import (
	"math"
	"math/bits"
)

// tops is what the cells of the lanes see over what stands.
type tops struct {
	edges         // that those of the lanes are not: see edge
	openDB    row // what open country costs at the ends, of which only what stands counts where that is more
	nearM     [nearSamples]row
	past      edges // the far edge where one wood is passed through, of the lanes marked so
	pastLanes uint64
	throughDB row    // what that costs
	nearLanes uint64 // lanes that have some of that
	differ    bool   // some lane may have another edge than over the bare ground
	extraDB   row    // what woods at the ends cost
}

// edges are far ones, as in lanes.
type edges struct{ farA, farB, farQ row }

// clear forgets what stood near the cell that had lane k before.
func (t *tops) clear(k int) {
	if t.nearLanes>>k&1 != 0 {
		t.nearLanes &^= 1 << k
		for m := range nearSamples {
			t.nearM[m][k] = 0
		}
	}
}

func (t *tops) stands(k, m int, heightM float32) {
	t.nearLanes |= 1 << k
	t.nearM[m][k] = heightM
	t.differ = true
}

// seen are the far edges of a cell over the bare ground and over what stands there, and how far from the pole that
// stands which is steepest as seen from the cell.
type seen struct {
	ground, tops farEdge
	backM        float64
}

// edge finds those of lane k. On bare earth that over what stands takes the place of the other, which is
// kept instead: it decides what the terrain makes doubtful.
func (c *coverRay) edge(j *judge, l *lanes, r *ray, k int, from *ray, i int, riseM float64) seen {
	t := &c.lanes
	ground := farEdge{l.farA[k], l.farB[k], l.farQ[k]}
	tops, backM := ground, 0.0
	switch {
	case len(from.upper.points) == 0:
	case c.s.layered:
		t.differ = true
		tops, backM = topEdge(j, r, from, i, riseM, ground)
	default:
		t.differ = true
		c.farEdge(j, l, r, k, from, i, riseM, ground)
		tops, backM = farEdge{l.farA[k], l.farB[k], l.farQ[k]}, r.dist[i]-float64(l.farR[k])
	}
	other := tops
	if !c.s.layered {
		other = ground
	}
	t.put(k, other)
	return seen{ground, tops, backM}
}

// more is how much more than open country does at its ends what stands there may cost lane k: where that is nothing no
// way through is looked for. The edge of the longest path takes the most for it.
func (c *coverRay) more(j *judge, r *ray, k, i int, riseM float64, e *seen) float32 {
	t, d := &c.lanes, r.dist[i]
	if t.nearLanes>>k&1 == 0 && e.tops == e.ground {
		return 0
	}
	perWave := float32(j.perWave * d)
	a, b := max(e.tops.a, e.ground.a, 0), max(e.tops.b, e.ground.b, 0)
	if t.nearLanes>>k&1 != 0 {
		slope := riseM*r.per[i] - j.set.curve*d
		for m := range nearSamples {
			if heightM := t.nearM[m][k]; heightM > 0 {
				x := r.dist[i-1-m]
				rise := float32(r.y[i-1-m]-j.set.antennaM-slope*x) + heightM
				a, b = max(a, rise/float32(x)), max(b, rise/float32(d-x))
			}
		}
	}
	more := c.s.edge.of(perWave * a * b)
	if e.ground.a >= 0 {
		more -= c.s.edge.of(perWave * e.ground.a * e.ground.b)
	}
	return more - t.openDB[k]
}

// newEdges is edgeLoss over the square of ν, for paths up to reachM.
func newEdges(reachM float64) curveTable {
	t := newCurveTable(1.0/(1<<10), 1<<20, func(nu2 float64) float64 {
		return float64(edgeLoss(float32(math.Sqrt(nu2)), lengthDB(float32(reachM))))
	})
	return t
}

// farEdge is one lane of edges.
type farEdge struct{ a, b, q float32 }

func (e *edges) put(k int, f farEdge) { e.farA[k], e.farB[k], e.farQ[k] = f.a, f.b, f.q }

// over is the edge with all that stands on a ray but on the samples from one up to another.
func (f farEdge) over(tall *ray, g *groundEdge, from, end int) farEdge {
	for k := range tall.upper.points {
		p := &tall.upper.points[k]
		rise := p.y - g.antennaM - g.slope*p.x
		if rise >= 0 && (p.i < from || p.i >= end) {
			f.a, f.b = max(f.a, float32(rise/p.x)), max(f.b, float32(rise/(g.distM-p.x)))
		}
	}
	return f
}

// farEdge is lanes.farEdge over what stands on a ray and over the bare ground, of which that is known.
func (c *coverRay) farEdge(j *judge, l *lanes, r *ray, k int, from *ray, i int, riseM float64, ground farEdge) {
	alpha, beta, over := l.alpha[k], l.beta[k], l.over[k] // which are of the bare ground
	x, rest, u, v := l.farX[k], l.farR[k], l.farU[k], l.farV[k]
	l.farEdge(k, j, from, i, riseM)
	l.alpha[k], l.beta[k], l.over[k] = alpha, beta, over
	d := float32(r.dist[i])
	if l.farA[k] < 0 && ground.a < 0 {
		if ground.q < l.farQ[k] {
			l.farQ[k], l.farX[k], l.farR[k], l.farU[k] = ground.q, x, rest, u
		}
		return
	}
	if l.farA[k] < 0 {
		b, at := from.horizonB(j, i, riseM)
		l.farQ[k], l.farB[k], l.farR[k], l.farV[k] = infinite, b, d-at, 1
	}
	if ground.a < 0 {
		var at float32
		ground.b, at = r.horizonB(j, i, riseM)
		rest, v = d-at, r.landB.of(r, at, i)
	}
	if ground.a > l.farA[k] {
		l.farA[k], l.farX[k], l.farU[k] = ground.a, x, u
	}
	if ground.b > l.farB[k] {
		l.farB[k], l.farR[k], l.farV[k] = ground.b, rest, v
	}
}

// topEdge is that without where the edges stand and without what costs nothing.
func topEdge(j *judge, r, from *ray, i int, riseM float64, ground farEdge) (f farEdge, backM float64) {
	f = farEdge{-1, -1, infinite}
	if i <= nearSamples {
		return f, 0
	}
	d := r.dist[i]
	slope := riseM*r.per[i] - j.set.curve*d
	if f.a = max(float32(from.tim-slope), ground.a); f.a >= 0 {
		b, at := from.horizonB(j, i, riseM)
		if ground.a < 0 {
			ground.b, _ = r.horizonB(j, i, riseM)
		}
		f.b = max(b, ground.b)
		return f, float64(at)
	}
	f.a = -1
	if at, q := from.nearest(sight{j.set.antennaM, slope, d}, clearNu*clearNu/(j.perWave*d)); at >= 0 {
		f.q = float32(q)
	}
	f.q = min(f.q, ground.q)
	return f, 0
}

// overTops judges the lanes over what stands, of which one edge lies over the bare ground and one over the
// tops. Where the terrain may hold what stands it is the mean of both, with half of what they differ by as a
// doubt.
func (w *worker) overTops(n int) {
	j, l, t := &w.s.judge, &w.lanes, &w.cover.lanes
	l.other = row{} // of the lanes before
	if !t.differ {
		w.overGround(n)
		return
	}
	j.constants.nearGround(l, &w.posts, n)
	j.constants.heights(l, n)
	t.differ = false
	var bare, past row
	edges := func(e *edges, out *row) { // over others
		t.swap(l, e)
		j.constants.edges(l, n)
		j.constants.edgesOver(l, n)
		t.swap(l, e)
		*out = l.other
	}
	if t.pastLanes != 0 {
		edges(&t.past, &past)
	}
	if !w.cover.s.layered {
		edges(&t.edges, &bare)
		t.raise(l, n)
		w.edges(n)
		j.constants.edgesOver(l, n)
		for k := range n {
			over := l.other[k]
			l.excess[k] += bare[k] + max(min(over-t.openDB[k]-bare[k], t.mostDB(k, &past, bare[k])), 0) - over
		}
		l.other = row{}
		j.constants.verdicts(l, n)
		return
	}
	bareH := t.raise(l, n)
	edges(&t.edges, &l.other)
	l.nearH = bareH
	w.edges(n)
	for k := range n {
		l.other[k] -= t.openDB[k]
		l.most[k] = infinite
	}
	for left := t.pastLanes; left != 0; left &= left - 1 {
		k := bits.TrailingZeros64(left)
		l.most[k] = t.mostDB(k, &past, edgeLoss(l.nu[k], lengthDB(l.d[k])))
	}
	j.constants.verdicts(l, n)
}

// mostDB is what the tops may cost lane k at most over the bare ground: the way through one wood, and over the
// rest.
func (t *tops) mostDB(k int, past *row, bare float32) float32 {
	if t.pastLanes>>k&1 == 0 {
		return infinite
	}
	return t.throughDB[k] + max(past[k]-t.openDB[k]-bare, 0)
}

// swap exchanges the edges of the lanes for others.
func (t *tops) swap(l *lanes, e *edges) {
	l.farA, l.farB, l.farQ, e.farA, e.farB, e.farQ = e.farA, e.farB, e.farQ, l.farA, l.farB, l.farQ
}

// raise puts what stands on the last samples before the cells, and returns them without.
func (t *tops) raise(l *lanes, n int) (bareH [nearSamples]row) {
	bareH = l.nearH
	if t.nearLanes != 0 {
		for m := range nearSamples {
			for k, h := range bareH[m][:n] {
				if h > noGround/2 {
					l.nearH[m][k] = h + t.nearM[m][k]
				}
			}
		}
	}
	return bareH
}

// overGround judges the lanes over the bare ground.
func (w *worker) overGround(n int) {
	j, l := &w.s.judge, &w.lanes
	j.constants.nearGround(l, &w.posts, n)
	j.constants.heights(l, n)
	w.edges(n)
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

// see takes what stands into lane k, the cell at x on the line of sample i.
func (w *worker) see(c *crossings, k, i int, x float64, at kind, e *ending, riseM, groundM float64) {
	w.cover.see(&w.s.judge, &w.lanes, w.ray, k, at, i, riseM, groundM, e.openDB)
	clutter, steady2 := e.clutter, e.steady2
	if e.steady.perOctave > 0 {
		clutter, steady2 = e.steady.at(w.ray.beside(c, i, x))
	}
	w.lanes.clutter[k], w.lanes.steady2[k] = float32(clutter)+w.cover.lanes.extraDB[k], float32(steady2)
}

// around is what stands at a cell at x on the line of sample i, and what that makes of its end.
func (w *worker) around(c *crossings, i int, x float64) (kind, *ending) {
	if w.cover == nil {
		return 0, &noEnding
	}
	k := w.s.standings.at(c.samples[i].line*c.along + int(x)*c.across)
	return k, w.s.standings.ending(k)
}

var noEnding ending
