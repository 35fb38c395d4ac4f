//go:build !purego

package coverage

import "golang.org/x/sys/cpu"

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
