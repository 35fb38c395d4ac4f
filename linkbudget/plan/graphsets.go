package plan

// vertexSets are disjoint sets of vertices (R. E. Tarjan, Efficiency of a good
// but not linear set union algorithm, J. ACM 22 (1975)), here with halved paths.
type vertexSets struct {
	up    []int32 // vertex -> another of its set, itself at the top
	count int     // of sets
}

func newVertexSets(n int) *vertexSets {
	s := &vertexSets{make([]int32, n), n}
	for v := range s.up {
		s.up[v] = int32(v)
	}
	return s
}

func (s *vertexSets) top(v int32) int32 {
	for s.up[v] != v {
		s.up[v] = s.up[s.up[v]]
		v = s.up[v]
	}
	return v
}

func (s *vertexSets) join(v, w int32) {
	if v, w = s.top(v), s.top(w); v != w {
		s.up[max(v, w)] = min(v, w)
		s.count--
	}
}
