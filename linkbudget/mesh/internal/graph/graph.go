package graph

import "slices"

// Graph is an undirected graph without loops or double edges. Vertices are
// numbers from 0, edges indices into ends.
type Graph struct {
	ends  [][2]int32
	start []int32 // where the arcs of a vertex begin; one more than vertices
	arcs  []Arc   // of each vertex, sorted by the other end
}

// Arc is one end of an edge: the vertex it leads to.
type Arc struct{ To, Edge int32 }

// New makes the graph of n vertices and the edges between the given ends.
func New(n int, ends [][2]int32) *Graph {
	g := &Graph{ends: ends, start: make([]int32, n+1), arcs: make([]Arc, 2*len(ends))}
	for _, e := range ends {
		g.start[e[0]+1]++
		g.start[e[1]+1]++
	}
	for v := range n {
		g.start[v+1] += g.start[v]
	}
	fill := slices.Clone(g.start[:n])
	for i, e := range ends {
		for k, v := range e {
			g.arcs[fill[v]] = Arc{e[1-k], int32(i)}
			fill[v]++
		}
	}
	for v := range int32(n) {
		slices.SortFunc(g.From(v), func(x, y Arc) int { return int(x.To - y.To) })
	}
	return g
}

// Size is how many vertices there are.
func (g *Graph) Size() int { return len(g.start) - 1 }

// From returns the arcs that leave a vertex, sorted by their other end.
func (g *Graph) From(v int32) []Arc { return g.arcs[g.start[v]:g.start[v+1]] }

// Among returns the graph of the vertices that keep holds, numbered as before;
// the others stand alone. Edges are numbered anew.
func (g *Graph) Among(keep func(v int32) bool) *Graph {
	var ends [][2]int32
	for _, e := range g.ends {
		if keep(e[0]) && keep(e[1]) {
			ends = append(ends, e)
		}
	}
	return New(g.Size(), ends)
}

// PairsOf is how many pairs n things form.
func PairsOf(n int) int { return n * (n - 1) / 2 }

// Sets are disjoint sets of vertices (R. E. Tarjan, Efficiency of a good
// but not linear set union algorithm, J. ACM 22 (1975)), here with halved paths.
type Sets struct {
	up    []int32 // vertex -> another of its set, itself at the top
	Count int     // of sets
}

// NewSets makes a set of each of n vertices.
func NewSets(n int) *Sets {
	s := &Sets{make([]int32, n), n}
	for v := range s.up {
		s.up[v] = int32(v)
	}
	return s
}

// Top is the lowest vertex of the set of v.
func (s *Sets) Top(v int32) int32 {
	for s.up[v] != v {
		s.up[v] = s.up[s.up[v]]
		v = s.up[v]
	}
	return v
}

// Join makes one set of those of v and w.
func (s *Sets) Join(v, w int32) {
	if v, w = s.Top(v), s.Top(w); v != w {
		s.up[max(v, w)] = min(v, w)
		s.Count--
	}
}
