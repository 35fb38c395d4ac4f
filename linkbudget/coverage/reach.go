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

// Level ground must reach back from a reach so many blocks of samples, for three probes or for two: straight lines
// between them are then off by (8/64)²/8, or (15/256)²/8, of a slope by a factor e of the way to the last obstacle.
const (
	steadyBlocks = 4
	flatBlocks   = 16
)

// probesOf is how many probes the samples from one up to another need as a reach; 0 where they are none.
func (w *worker) probesOf(c *crossings, i, stop int) int {
	r := w.ray
	blocks := i/blockSize - max((c.even+blockSize-1)/blockSize, i/blockSize-flatBlocks)
	if stop-i != shadowRun || w.cover != nil || w.s.judge.directional || blocks < steadyBlocks || r.known < stop ||
		r.dist[stop-1] >= w.sureM || r.low[i] == r.high[i] || r.low[i+shadowRun/2] == r.high[i+shadowRun/2] ||
		r.low[stop-1] == r.high[stop-1] || !r.straysLittle(i) {
		return 0
	}
	levelM := r.h[i]
	if r.h[stop-1] != levelM {
		return 0
	}
	level := 1
	for level <= blocks && r.levelM[i/blockSize-level] == levelM {
		level++
	}
	if level <= steadyBlocks {
		return 0
	}
	for n := i; n < stop; n++ {
		if !c.samples[n].plain || int(r.low[n]) < c.cells.low || int(r.high[n]) > c.cells.high {
			return 0
		}
	}
	// Paths to cells farther out keep between the rays beside.
	for n := i - nearSamples; n < stop; n++ {
		base, last := c.samples[n].base, min(int(r.high[n]), c.width-1)
		for x := max(int(r.low[n])-1, 0); x <= last; x++ {
			if float64(c.h[base+x*c.across]) != levelM {
				return 0
			}
		}
	}
	if level > flatBlocks {
		return 2
	}
	return 3
}

// overLevel takes the samples from one up to another in as a reach, if they are one. Where all lies in shadow they are not.
func (w *worker) overLevel(c *crossings, i, stop int, shaded bool) bool {
	probes := w.probesOf(c, i, stop)
	r, set := w.ray, &w.s.judge.set
	if probes == 0 {
		return false
	}
	if shaded {
		dark := w.darkM[0]
		for _, m := range w.darkM[:stop-i] {
			dark = min(dark, m)
		}
		if r.h[i] < float64(dark) {
			return false
		}
	}
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
	return true
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
	l, from := &w.lanes, 0
	for _, z := range w.reaches {
		line := func(k int, distM float32) Cell {
			u := (distM - l.d[k]) / (l.d[k+1] - l.d[k])
			of := func(v *row) float32 { return v[k] + u*(v[k+1]-v[k]) }
			return Numbers{linkbudget.DB(of(&l.loss)), linkbudget.DB(of(&l.margin)), float64(of(&l.probability))}.Cell()
		}
		for _, s := range w.steady[from:z.until] {
			k := z.lane
			if z.probes == 3 && s.distM > l.d[k+1] {
				k++
			}
			w.s.raster.take([]int32{s.cell}, []Cell{line(k, s.distM)})
		}
		from = z.until
	}
	w.reaches, w.steady = w.reaches[:0], w.steady[:0]
}
