package coverage

import "github.com/polereach/polereach/linkbudget"

// reach is a run of samples over level ground, water mostly: from one to the next little changes, and steadily.
// Some cells are judged, its probes; those between lie on straight lines over the distance.
type reach struct {
	lane, probes int // the first lane, and how many follow one another
	until        int // its cells in worker.steady end there
}

// steadyCell waits for the probes of its reach.
type steadyCell struct {
	cell  int32
	distM float32
}

// Level ground must reach back from a reach so many samples, for three probes or for two: straight lines
// between them are then off by (8/64)²/8, or (15/256)²/8, of a slope by a factor e of the way to the last obstacle.
const (
	steadyFrom = 64
	flatFrom   = 256
)

// probesOf is how many probes the samples from one up to another need as a reach; 0 where they are none.
func (w *worker) probesOf(c *crossings, i, stop int, atCorner bool) int {
	r := w.ray
	from, levelM := int(r.levelFrom[i/blockSize]), r.h[i]
	if from < 0 || i-max(from*blockSize, c.even) < steadyFrom || stop-i != shadowRun || r.h[stop-1] != levelM {
		return 0
	}
	if w.cover != nil || atCorner || w.s.judge.directional || w.s.tops == nil || r.known < stop ||
		r.dist[stop-1] >= w.sureM || !r.straysLittle(i) {
		return 0
	}
	for _, n := range [3]int{i, i + shadowRun/2, stop - 1} {
		if r.low[n] == r.high[n] {
			return 0
		}
	}
	for n := i; n < stop; n++ {
		if !c.samples[n].plain || int(r.low[n]) < c.cells.low || int(r.high[n]) > c.cells.high {
			return 0
		}
	}
	// Paths to cells farther out keep between the rays beside.
	x0, x1 := int(min(r.low[i-nearSamples], r.low[stop-1]))-1, int(max(r.high[i-nearSamples], r.high[stop-1]))
	if !w.s.allLevel(float32(levelM), c, c.samples[i-nearSamples].line, c.samples[stop-1].line, x0, x1) {
		return 0
	}
	if i-max(from*blockSize, c.even) >= flatFrom {
		return 2
	}
	return 3
}

// allLevel reports whether all ground lies at heightM, from line to line and from x0 to x1 across the axis, there
// being at least some.
func (s *sweep) allLevel(heightM float32, c *crossings, line0, line1, x0, x1 int) bool {
	line0, line1, x0, x1 = min(line0, line1), max(line0, line1), max(x0, 0), min(x1, c.width-1)
	perLine, perX := 1, s.topCols
	if c.q.alongRows {
		perLine, perX = perX, perLine
	}
	for n := line0 >> topBits; n <= line1>>topBits; n++ {
		for x := x0 >> topBits; x <= x1>>topBits; x++ {
			if k := n*perLine + x*perX; !s.level[k] || s.tops[k] != heightM {
				return false
			}
		}
	}
	return true
}

// overLevel takes the samples from one up to another in as a reach with so many probes.
func (w *worker) overLevel(c *crossings, i, stop, probes int) {
	r, set := w.ray, &w.s.judge.set
	if w.waiting+probes > lanesAtOnce {
		w.flush()
	}
	isProbe := func(n int) bool { return n == i || n == stop-1 || probes == 3 && n == i+shadowRun/2 }
	for n := i; n < stop; n++ {
		x, t := int(r.low[n]), &c.samples[n]
		if isProbe(n) {
			x++
		}
		cross, perM := r.cross[n], c.width2[n]*r.per[n]/2
		for ; x < int(r.high[n]); x++ {
			aside := float64(x) - cross
			w.steady = append(w.steady, steadyCell{int32(t.row + x*c.cellStep),
				float32(r.dist[n] + perM*aside*(2*(cross-r.from)+aside))})
		}
	}
	w.reaches = append(w.reaches, reach{w.waiting, probes, len(w.steady)})
	for n := i; n < stop; n++ {
		if isProbe(n) {
			w.addPlain(c, n, int(r.low[n]))
		}
		r.pass(n, set)
	}
}

// addPlain gives a cell a lane that is known to have known ground all around.
func (w *worker) addPlain(c *crossings, i, x int) {
	r, t := w.ray, &c.samples[i]
	cross := r.cross[i]
	turn, share := r.lastStep(i)
	p, aside := t.base+x*c.across, float64(x)-cross
	w.lanes.nearLater(w.waiting, p, turn+aside*share, share)
	w.lanes.d[w.waiting] = float32(r.dist[i])
	w.lanes.beside[w.waiting] = float32(c.width2[i] * aside * (2*(cross-r.from) + aside))
	w.add(c, t.row+x*c.cellStep, i, float64(x), float64(c.h[p]))
}

// spread gives the cells of all reaches their numbers, from the probes judged.
func (w *worker) spread() {
	l, raster, from := &w.lanes, w.s.raster, 0
	for _, z := range w.reaches {
		for _, s := range w.steady[from:z.until] {
			k := z.lane
			if z.probes == 3 && s.distM > l.d[k+1] {
				k++
			}
			u := (s.distM - l.d[k]) / (l.d[k+1] - l.d[k])
			of := func(v *row) float64 { return float64(v[k] + u*(v[k+1]-v[k])) }
			if chance := of(&l.probability); raster.Cells == nil {
				raster.percents[s.cell] = percentOf(stepsOf(chance))
			} else {
				raster.Cells[s.cell] = Numbers{linkbudget.DB(of(&l.loss)), linkbudget.DB(of(&l.margin)), chance}.Cell()
			}
		}
		from = z.until
	}
	w.reaches, w.steady = w.reaches[:0], w.steady[:0]
}
