//go:build !purego

package coverage

import "golang.org/x/sys/cpu"

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
