package graph

import (
	"cmp"
	"slices"
)

// splitter finds the triconnected components of a block of three vertices or
// more: the pieces into which pairs of vertices split it, held together by
// virtual edges. J. E. Hopcroft and R. E. Tarjan, Dividing a graph into
// triconnected components, SIAM J. Comput. 2 (1973), with the corrections of C.
// Gutwenger and P. Mutzel, A linear time implementation of SPQR-trees, Graph
// Drawing 2000, LNCS 1984 (2001). Memory is linear in the edges, time nearly so.
//
// Vertices are numbers from 1 in the order of the second walk, edges run down
// the tree or, as fronds, up it. The walks are recursions: a goroutine's stack
// grows as it has to, some 200 bytes a vertex.
type splitter struct {
	n        int32
	from, to []int32
	tree     []bool // edge is of the tree, not a frond
	begins   []bool // edge is the first of a path of the second walk

	// Of each vertex: the number below it with itself, the next towards the root,
	// the two lowest vertices that fronds from below reach, its edges left.
	below, father, low1, low2, degree []int32
	treeArc                           []int32 // the edge from the father

	out   edgeLists // edges that leave a vertex, in the order of the search
	highs edgeLists // fronds that arrive at one, from the highest start on
	found components
	edges []int32 // pile of edges not yet in a component
	tries []try   // pile of pairs that may separate
}

// firstWalk numbers the vertices of a block and directs its edges.
type firstWalk struct {
	*splitter
	g      *Graph
	number []int32 // vertex -> number from 1, 0 not yet seen
	clock  int32
}

// newSplitter prepares a search of a graph without cut vertices. It returns the
// numbers of the vertices with it.
func newSplitter(g *Graph) (s *splitter, number []int32) {
	n, m := g.Size(), len(g.ends)
	s = &splitter{n: int32(n), from: make([]int32, m, 2*m), to: make([]int32, m, 2*m), tree: make([]bool, m, 2*m),
		begins: make([]bool, m, 2*m)}
	for _, list := range []*[]int32{&s.below, &s.father, &s.low1, &s.low2, &s.degree, &s.treeArc} {
		*list = make([]int32, n+1)
	}
	first := firstWalk{s, g, make([]int32, n), 0}
	first.visit(0, -1)
	for e := range s.from { // from now on the vertices go by their numbers
		s.degree[s.from[e]]++
		s.degree[s.to[e]]++
	}
	second := secondWalk{splitter: s, number: make([]int32, n+1), clock: int32(n), path: true}
	second.sortEdges()
	second.visit(1)
	second.renumber()
	for v, was := range first.number {
		first.number[v] = second.number[was]
	}
	return s, first.number
}

func (w *firstWalk) visit(v, parentEdge int32) {
	w.clock++
	i := w.clock
	w.number[v], w.low1[i], w.low2[i], w.below[i] = i, i, i, 1
	for _, a := range w.g.From(v) {
		if a.Edge == parentEdge {
			continue
		}
		j := w.number[a.To]
		switch {
		case j == 0:
			w.father[w.clock+1] = i
			w.visit(a.To, a.Edge)
			j = w.number[a.To]
			w.from[a.Edge], w.to[a.Edge], w.tree[a.Edge], w.treeArc[j] = i, j, true, a.Edge
			switch {
			case w.low1[j] < w.low1[i]:
				w.low1[i], w.low2[i] = w.low1[j], min(w.low1[i], w.low2[j])
			case w.low1[j] == w.low1[i]:
				w.low2[i] = min(w.low2[i], w.low2[j])
			default:
				w.low2[i] = min(w.low2[i], w.low1[j])
			}
			w.below[i] += w.below[j]
		case j < i: // a frond
			w.from[a.Edge], w.to[a.Edge] = i, j
			if j < w.low1[i] {
				w.low1[i], w.low2[i] = j, w.low1[i]
			} else if j > w.low1[i] {
				w.low2[i] = min(w.low2[i], j)
			}
		}
	}
}

// secondWalk numbers anew, in an order that lets the search find every pair,
// and cuts the walk into paths that each end with a frond.
type secondWalk struct {
	*splitter
	sorted, start []int32 // edges that leave a vertex, those of v from start[v] on
	number        []int32 // of the first walk -> of this one
	clock         int32
	path          bool       // the next edge begins a path
	fronds        [][2]int32 // edge, and where it starts, in the order of the walk
}

// sortEdges brings the edges of every vertex into the order of their ends: an
// edge to the tree below that reaches two vertices above comes before a frond to
// the lower of the two, one that reaches none but v and this after it.
func (w *secondWalk) sortEdges() {
	rank := func(e int32) int32 {
		v, x := w.from[e], w.to[e]
		switch {
		case !w.tree[e]:
			return 3*x + 1
		case w.low2[x] < v:
			return 3 * w.low1[x]
		}
		return 3*w.low1[x] + 2
	}
	w.sorted, w.start = make([]int32, len(w.from)), make([]int32, w.n+2)
	for e := range w.sorted {
		w.sorted[e] = int32(e)
		w.start[w.from[e]+1]++
	}
	for v := range w.n + 1 {
		w.start[v+1] += w.start[v]
	}
	slices.SortFunc(w.sorted, func(x, y int32) int {
		return cmp.Or(int(w.from[x]-w.from[y]), int(rank(x)-rank(y)), int(x-y))
	})
}

func (w *secondWalk) visit(v int32) {
	w.number[v] = w.clock - w.below[v] + 1
	for _, e := range w.sorted[w.start[v]:w.start[v+1]] {
		if w.path {
			w.path, w.begins[e] = false, true
		}
		if w.tree[e] {
			w.visit(w.to[e])
			w.clock--
			continue
		}
		w.fronds = append(w.fronds, [2]int32{e, w.number[v]})
		w.path = true
	}
}

// renumber makes everything speak of the new numbers and builds the lists.
func (w *secondWalk) renumber() {
	n, s := w.n, w.splitter
	edges := w.sorted
	lists := [...]*[]int32{&s.below, &s.father, &s.low1, &s.low2, &s.degree, &s.treeArc}
	for k, list := range lists {
		again := make([]int32, n+1)
		for v := int32(1); v <= n; v++ {
			again[w.number[v]] = (*list)[v]
			if k >= 1 && k <= 3 { // these hold vertices
				again[w.number[v]] = w.number[(*list)[v]]
			}
		}
		*list = again
	}
	for e := range s.from {
		s.from[e], s.to[e] = w.number[s.from[e]], w.number[s.to[e]]
	}
	s.out, s.highs = newEdgeLists(n, len(edges)), newEdgeLists(n, len(edges))
	for _, e := range edges {
		s.out.append(s.from[e], e, e)
	}
	for _, f := range w.fronds {
		s.highs.append(s.to[f[0]], f[0], f[1])
	}
}
