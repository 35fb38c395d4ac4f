//go:build !amd64 || purego

package coverage

// lay places the samples of a plain run from i on, the k-th, up to stop, and finds the
// heights there. It reports whether one is unknown.
func (r *ray) lay(u *run, k, i, stop int) (unknown bool) { return r.layByOne(u, k, i, stop) }
