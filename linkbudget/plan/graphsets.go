package plan

// vertexSets are disjoint sets of vertices (R. E. Tarjan, Efficiency of a good
// but not linear set union algorithm, J. ACM 22 (1975)), here with halved paths.
type vertexSets struct {
	up    []int32 // vertex -> another of its set, itself at the top
	Count int     // of sets
}

// newVertexSets makes a set of each of n vertices.
func newVertexSets(n int) *vertexSets {
	s := &vertexSets{make([]int32, n), n}
	for v := range s.up {
		s.up[v] = int32(v)
	}
	return s
}

// Top is the lowest vertex of the set of v.
func (s *vertexSets) Top(v int32) int32 {
	for s.up[v] != v {
		s.up[v] = s.up[s.up[v]]
		v = s.up[v]
	}
	return v
}

// Join makes one set of those of v and w.
func (s *vertexSets) Join(v, w int32) {
	if v, w = s.Top(v), s.Top(w); v != w {
		s.up[max(v, w)] = min(v, w)
		s.Count--
	}
}
