//go:build !amd64 || purego

package coverage

// nearGround, heights, edges, smoothEarths, verdicts and cells go through the first n
// lanes.
func (s *constants) nearGround(l *lanes, g *posts, n int) { s.nearByOne(l, g, n) }
func (s *constants) heights(l *lanes, n int)              { s.eachByOne(l, n, (*constants).effectiveHeights) }
func (s *constants) edges(l *lanes, n int)                { s.eachByOne(l, n, (*constants).edge) }
func (s *constants) smoothEarths(l *lanes, n int)         { s.eachByOne(l, n, (*constants).smoothEarth) }
func (s *constants) edgesOver(l *lanes, n int)            { s.eachByOne(l, n, (*constants).edgeOver) }

func (s *constants) verdicts(l *lanes, n int) { s.eachByOne(l, n, (*constants).verdict) }

func (l *lanes) cells(out *[lanesAtOnce]Cell, n int) { l.cellsByOne(out, n) }

// sample places the samples of a plain run from i on, the k-th, up to stop, and finds the
// heights there. It reports whether one is unknown.
func (r *ray) sample(u *run, k, i, stop int) (unknown bool) { return r.sampleByOne(u, k, i, stop) }

// horizon looks at all of n points, at least one.
func (g *bareGround) horizon(n int, b receiver) horizon { return g.horizonByOne(n, b) }
