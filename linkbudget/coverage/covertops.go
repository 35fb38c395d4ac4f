package coverage

// tops is what the cells of the lanes see over what stands.
type tops struct {
	farA, farB, farQ row // the edge that those of the lanes is not: see edge
	openDB           row // what open country costs at the ends, of which only what stands counts where that is more
	nearM            [nearSamples]row
	nearLanes        uint64 // lanes that have some of that
	differ           bool   // some lane may have another edge than over the bare ground
	extraDB          row    // what woods at the ends cost
}

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

// edge finds the far edge over what stands of lane k, and returns the slopes to it over the direct ray from the
// pole and from the cell, none below 0. On bare earth it takes the place of that over the bare ground, which is
// kept instead: it decides what the terrain makes doubtful.
func (c *coverRay) edge(j *judge, l *lanes, k int, from *ray, i int, riseM float64) (a, b float64) {
	t := &c.lanes
	t.farA[k], t.farB[k], t.farQ[k] = l.farA[k], l.farB[k], l.farQ[k]
	if c.woods.rose {
		t.differ = true
		if c.s.layered {
			t.far(j, k, from, i, riseM)
		} else {
			alpha, beta, over := l.alpha[k], l.beta[k], l.over[k] // which are of the bare ground
			l.farEdge(k, j, from, i, riseM)
			l.alpha[k], l.beta[k], l.over[k] = alpha, beta, over
			return float64(max(l.farA[k], 0)), float64(max(l.farB[k], 0))
		}
	}
	return float64(max(t.farA[k], 0)), float64(max(t.farB[k], 0))
}

// far is farEdge without where the edges stand and without what costs nothing.
func (t *tops) far(j *judge, k int, r *ray, i int, riseM float64) {
	t.farA[k], t.farB[k], t.farQ[k] = -1, -1, infinite
	if i <= nearSamples {
		return
	}
	d, bare := r.dist[i], riseM*r.per[i]
	slope := bare - j.set.curve*d
	if a := r.tim - slope; a >= 0 {
		back := r.upper.horizon(d, riseM, bare, j.set.antennaM, j.set.curve)
		t.farA[k], t.farB[k] = float32(a), back.flat+float32(bare)
		return
	}
	if at, q := r.nearest(sight{j.set.antennaM, slope, d}, clearNu*clearNu/(j.perWave*d)); at >= 0 {
		t.farQ[k] = float32(q)
	}
}

// overTops judges the lanes over what stands, of which one edge lies over the bare ground and one over the
// tops. Where the terrain may hold what stands it is the mean of both, with half of what they differ by as a
// doubt.
func (w *worker) overTops(n int) {
	j, l, t := &w.s.judge, &w.lanes, &w.cover.lanes
	j.constants.nearGround(l, &w.posts, n)
	j.constants.heights(l, n)
	if !t.differ {
		w.edges(n)
		j.constants.verdicts(l, n)
		return
	}
	t.differ = false
	if w.cover.s.layered {
		t.swap(l)
		bareH := t.raise(l, n)
		j.constants.edges(l, n)
		j.constants.edgesOver(l, n)
		t.swap(l)
		l.nearH = bareH
		w.edges(n)
		for k := range n {
			l.other[k] -= t.openDB[k]
			l.most[k] = infinite
		}
	} else {
		t.swap(l)
		j.constants.edges(l, n)
		j.constants.edgesOver(l, n)
		bare := l.other
		t.swap(l)
		t.raise(l, n)
		w.edges(n)
		j.constants.edgesOver(l, n)
		for k := range n {
			l.excess[k] += bare[k] + max(l.other[k]-t.openDB[k]-bare[k], 0) - l.other[k]
		}
		l.other = row{}
	}
	j.constants.verdicts(l, n)
	l.other = row{}
}

// swap exchanges the edges.
func (t *tops) swap(l *lanes) {
	l.farA, l.farB, l.farQ, t.farA, t.farB, t.farQ = t.farA, t.farB, t.farQ, l.farA, l.farB, l.farQ
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
