//go:build !amd64 || purego

package coverage

// smoothEarths and verdicts do so for the first n lanes.
func (s *scene) smoothEarths(l *lanes, n int) { s.smoothEarthsByOne(l, n) }
func (s *scene) verdicts(l *lanes, n int)     { s.verdictsByOne(l, n) }
