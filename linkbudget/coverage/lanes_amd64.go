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
