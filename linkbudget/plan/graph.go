package plan

import "slices"

// graph is an undirected graph without loops or double edges. Vertices are
// numbers from 0, edges indices into ends.
type graph struct {
	ends  [][2]int32
	start []int32 // where the arcs of a vertex begin; one more than vertices
	arcs  []arc   // of each vertex, sorted by the other end
}

// arc is one end of an edge: the vertex it leads to.
type arc struct{ To, Edge int32 }

// newGraph makes the graph of n vertices and the edges between the given ends.
func newGraph(n int, ends [][2]int32) *graph {
	g := &graph{ends: ends, start: make([]int32, n+1), arcs: make([]arc, 2*len(ends))}
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
			g.arcs[fill[v]] = arc{e[1-k], int32(i)}
			fill[v]++
		}
	}
	for v := range int32(n) {
		slices.SortFunc(g.From(v), func(x, y arc) int { return int(x.To - y.To) })
	}
	return g
}

// Size is how many vertices there are.
func (g *graph) Size() int { return len(g.start) - 1 }

// From returns the arcs that leave a vertex, sorted by their other end.
func (g *graph) From(v int32) []arc { return g.arcs[g.start[v]:g.start[v+1]] }

// Among returns the graph of the vertices that keep holds, numbered as before;
// the others stand alone. Edges are numbered anew.
func (g *graph) Among(keep func(v int32) bool) *graph {
	var ends [][2]int32
	for _, e := range g.ends {
		if keep(e[0]) && keep(e[1]) {
			ends = append(ends, e)
		}
	}
	return newGraph(g.Size(), ends)
}

// pairsOf is how many pairs n things form.
func pairsOf(n int) int { return n * (n - 1) / 2 }

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
