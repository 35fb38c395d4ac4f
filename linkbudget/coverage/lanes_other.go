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
