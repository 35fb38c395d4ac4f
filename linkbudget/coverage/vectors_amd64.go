//go:build !purego

package coverage

import "golang.org/x/sys/cpu"

// nearGround, heights, edges, smoothEarths, edgesOver, verdicts and cells go through the first n
// lanes.
func (s *constants) nearGround(l *lanes, g *posts, n int) {
	if cpu.X86.HasAVX2 {
		nearVectors(s, l, vectorsOf(n), g)
		return
	}
	s.nearByOne(l, g, n)
}

func (s *constants) heights(l *lanes, n int) {
	s.each(l, n, heightVectors, (*constants).effectiveHeights)
}

func (s *constants) edges(l *lanes, n int) { s.each(l, n, edgeVectors, (*constants).edge) }

func (s *constants) smoothEarths(l *lanes, n int) {
	s.each(l, n, smoothEarthVectors, (*constants).smoothEarth)
}

func (s *constants) edgesOver(l *lanes, n int) { s.each(l, n, edgeOverVectors, (*constants).edgeOver) }

func (s *constants) verdicts(l *lanes, n int) { s.each(l, n, verdictVectors, (*constants).verdict) }

func (s *constants) each(l *lanes, n int, kernel, one func(s *constants, l *lanes, n int)) {
	if cpu.X86.HasAVX2 {
		kernel(s, l, vectorsOf(n))
		return
	}
	s.eachByOne(l, n, one)
}

func (l *lanes) cells(out *[lanesAtOnce]Cell, n int) {
	if cpu.X86.HasAVX2 {
		cellVectors(l, out, vectorsOf(n))
		return
	}
	l.cellsByOne(out, n)
}

// vectorsOf says how many vectors hold so many lanes.
func vectorsOf(n int) int { return (n + len(vector{}) - 1) / len(vector{}) }

// The kernels, of _kernel, do for so many vectors of lanes, at least one, what
// near, effectiveHeights, edge, smoothEarth, edgeOver, verdict and cell do for a lane.
//
//go:noescape
func nearVectors(s *constants, l *lanes, vectors int, ground *posts)

//go:noescape
func heightVectors(s *constants, l *lanes, vectors int)

//go:noescape
func edgeVectors(s *constants, l *lanes, vectors int)

//go:noescape
func smoothEarthVectors(s *constants, l *lanes, vectors int)

//go:noescape
func edgeOverVectors(s *constants, l *lanes, vectors int)

//go:noescape
func verdictVectors(s *constants, l *lanes, vectors int)

//go:noescape
func cellVectors(l *lanes, out *[lanesAtOnce]Cell, vectors int)

// sample places the samples of a plain run from i on, the k-th, up to stop, and finds the
// heights there. It reports whether one is unknown. Up to three behind the last it may
// spoil.
func (r *ray) sample(u *run, k, i, stop int) (unknown bool) {
	if !cpu.X86.HasAVX2 {
		return r.sampleByOne(u, k, i, stop)
	}
	return sampleVectors(u, k, (stop-i+3)/4, &r.cross[i], &r.dist[i], &r.per[i], &r.h[i], &r.y[i], &r.low[i],
		&r.high[i]) != 0
}

// sampleVectors, of _kernel, does what sampleByOne does for so many vectors of four samples.
//
//go:noescape
func sampleVectors(u *run, k, vectors int, cross, dist, per, h, y *float64, low, high *int32) (unknown int)

// horizon looks at all of n points, at least one.
func (g *bareGround) horizon(n int, b receiver) horizon {
	if !cpu.X86.HasAVX2 {
		return g.horizonByOne(n, b)
	}
	var found horizon
	found.flat, found.at, found.bare, found.over = horizonVectors(&g.dist[0], &g.overM[0], n, b.distM, b.riseM, b.slope,
		b.curve)
	return found
}

// horizonVectors, of _kernel, does what horizonByOne does, for eight points at once. It reads up
// to seven behind the last.
//
//go:noescape
func horizonVectors(dist, over *float32, n int, d, rise, slope, curve float32) (flat, at, bare, highest float32)
