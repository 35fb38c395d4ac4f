//go:build !amd64 || purego

package coverage

// nearGround, heights, edges, smoothEarths, verdicts and cells go through the first n
// lanes.
func (s *scene) nearGround(l *lanes, g *posts, n int) { s.nearByOne(l, g, n) }
func (s *scene) heights(l *lanes, n int)              { s.heightsByOne(l, n) }
func (s *scene) edges(l *lanes, n int)                { s.edgesByOne(l, n) }
func (s *scene) smoothEarths(l *lanes, n int)         { s.smoothEarthsByOne(l, n) }
func (s *scene) verdicts(l *lanes, n int)             { s.verdictsByOne(l, n) }

func (l *lanes) cells(out *[lanesAtOnce]Cell, n int) { l.cellsByOne(out, n) }

// lay places the samples of a plain run from i on, the k-th, up to stop, and finds the
// heights there. It reports whether one is unknown.
func (r *ray) lay(u *run, k, i, stop int) (unknown bool) { return r.layByOne(u, k, i, stop) }

// walls looks at all of n points, at least one.
func (g *bareGround) walls(n int, b receiver) walls { return g.wallsByOne(n, b) }
