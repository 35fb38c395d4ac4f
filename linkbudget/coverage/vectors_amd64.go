//go:build !purego

package coverage

import "golang.org/x/sys/cpu"

// nearGround, heights, edges, smoothEarths, verdicts and cells go through the first n
// lanes.
func (s *scene) nearGround(l *lanes, g *posts, n int) {
	if cpu.X86.HasAVX2 {
		nearVectors(s, l, vectorsOf(n), g)
		return
	}
	s.nearByOne(l, g, n)
}

func (s *scene) heights(l *lanes, n int) {
	if cpu.X86.HasAVX2 {
		heightVectors(s, l, vectorsOf(n))
		return
	}
	s.heightsByOne(l, n)
}

func (s *scene) edges(l *lanes, n int) {
	if cpu.X86.HasAVX2 {
		edgeVectors(s, l, vectorsOf(n))
		return
	}
	s.edgesByOne(l, n)
}

func (s *scene) smoothEarths(l *lanes, n int) {
	if cpu.X86.HasAVX2 {
		smoothEarthVectors(s, l, vectorsOf(n))
		return
	}
	s.smoothEarthsByOne(l, n)
}

func (s *scene) verdicts(l *lanes, n int) {
	if cpu.X86.HasAVX2 {
		verdictVectors(s, l, vectorsOf(n))
		return
	}
	s.verdictsByOne(l, n)
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
// near, effectiveHeights, join, smoothEarth, verdict and cell do for a lane.
//
//go:noescape
func nearVectors(s *scene, l *lanes, vectors int, ground *posts)

//go:noescape
func heightVectors(s *scene, l *lanes, vectors int)

//go:noescape
func edgeVectors(s *scene, l *lanes, vectors int)

//go:noescape
func smoothEarthVectors(s *scene, l *lanes, vectors int)

//go:noescape
func verdictVectors(s *scene, l *lanes, vectors int)

//go:noescape
func cellVectors(l *lanes, out *[lanesAtOnce]Cell, vectors int)

// lay places the samples of a plain run from i on, the k-th, up to stop, and finds the
// heights there. It reports whether one is unknown. Up to three behind the last it may
// spoil.
func (r *ray) lay(u *run, k, i, stop int) (unknown bool) {
	if !cpu.X86.HasAVX2 {
		return r.layByOne(u, k, i, stop)
	}
	return layVectors(u, k, (stop-i+3)/4, &r.cross[i], &r.dist[i], &r.per[i], &r.h[i], &r.y[i], &r.low[i], &r.high[i]) != 0
}

// layVectors, of _kernel, does what layByOne does for so many vectors of four samples.
//
//go:noescape
func layVectors(u *run, k, vectors int, cross, dist, per, h, y *float64, low, high *int32) (unknown int)

// walls looks at all of n points, at least one.
func (g *bareGround) walls(n int, b receiver) walls {
	if !cpu.X86.HasAVX2 {
		return g.wallsByOne(n, b)
	}
	var w walls
	w.flat, w.at, w.bare, w.over = wallVectors(&g.dist[0], &g.overM[0], n, b.distM, b.riseM, b.slope, b.curve)
	return w
}

// wallVectors, of _kernel, does what wallsByOne does, for eight points at once. It reads up
// to seven behind the last.
//
//go:noescape
func wallVectors(dist, over *float32, n int, d, rise, slope, curve float32) (flat, at, bare, highest float32)
