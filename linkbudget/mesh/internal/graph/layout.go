package graph

import (
	"cmp"
	"slices"
)

// Layout is a graph with all that is known of its parts, blocks and cuts.
type Layout struct {
	*blockWalk

	Part  []int     // vertex -> index into Parts
	Parts [][]int   // largest first, then by the lowest vertex; each sorted
	start []int32   // part -> place of its first vertex in the walk
	in    [][]int32 // vertex -> the blocks it is in

	Redundant int // pairs of vertices with two disjoint routes
}

// NewLayout looks at a graph.
func NewLayout(g *Graph) *Layout {
	n := g.Size()
	l := &Layout{blockWalk: walkBlocks(g), Part: make([]int, n), in: make([][]int32, n)}
	l.findParts()
	for b, block := range l.blocks {
		for _, v := range block {
			l.in[v] = append(l.in[v], int32(b))
		}
		if len(block) > 2 {
			l.Redundant += PairsOf(len(block))
		}
	}
	return l
}

func (l *Layout) findParts() {
	for k, from := range l.starts {
		to := len(l.visited)
		if k+1 < len(l.starts) {
			to = int(l.starts[k+1])
		}
		part := make([]int, 0, to-int(from))
		for _, v := range l.visited[from:to] {
			part = append(part, int(v))
		}
		slices.Sort(part)
		l.Parts = append(l.Parts, part)
	}
	slices.SortStableFunc(l.Parts, func(x, y []int) int { return cmp.Or(len(y)-len(x), x[0]-y[0]) })
	l.start = make([]int32, len(l.Parts))
	for k, part := range l.Parts {
		l.start[k] = l.order[part[0]] // the walk begins at the lowest
		for _, v := range part {
			l.Part[v] = k
		}
	}
}

// Joined is how many pairs of vertices have a route.
func (l *Layout) Joined() int {
	n := 0
	for _, part := range l.Parts {
		n += PairsOf(len(part))
	}
	return n
}

// Cuts reports whether the loss of a vertex splits its part.
func (l *Layout) Cuts(v int) bool { return len(l.in[v]) > 1 }

// partners is how many vertices a vertex has two disjoint routes to.
func (l *Layout) partners(v int) int {
	n := 0
	for _, b := range l.in[v] {
		if size := len(l.blocks[b]); size > 2 {
			n += size - 1
		}
	}
	return n
}

// SingleRoutes lists the first most pairs with one route but not two, by the
// lower vertex and then the higher.
func (l *Layout) SingleRoutes(most int) [][2]int {
	var list [][2]int
	partner := make([]int, l.g.Size()) // the last vertex, plus one, it is a partner of
	for v := range l.Part {
		part := l.Parts[l.Part[v]]
		if l.partners(v) == len(part)-1 {
			continue
		}
		for _, b := range l.in[v] {
			if len(l.blocks[b]) > 2 {
				for _, w := range l.blocks[b] {
					partner[w] = v + 1
				}
			}
		}
		for _, w := range part {
			if w > v && partner[w] != v+1 {
				if list = append(list, [2]int{v, w}); len(list) == most {
					return list
				}
			}
		}
	}
	return list
}

// Counts says how some vertices hang together over edges that also lead through others.
type Counts struct {
	// Vertices is how many were counted, Parts in how many parts of the graph they are.
	Vertices, Parts int
	// Joined is how many pairs of them have a route, Redundant how many have two
	// without a common vertex or edge between.
	Joined, Redundant int
}

// Among counts over the vertices that of holds. Two vertices share at most one
// block, so none is counted twice.
func (l *Layout) Among(of func(v int) bool) (c Counts) {
	for _, part := range l.Parts {
		n := 0
		for _, v := range part {
			if of(v) {
				n++
			}
		}
		c.Vertices += n
		c.Parts += min(n, 1)
		c.Joined += PairsOf(n)
	}
	for _, block := range l.blocks {
		n := 0
		for _, v := range block {
			if len(block) > 2 && of(int(v)) {
				n++
			}
		}
		c.Redundant += PairsOf(n)
	}
	return c
}
