package plan

import (
	"cmp"
	"slices"
)

// layout is the graph of the mesh with all that is known of its parts, blocks
// and cuts.
type layout struct {
	*blockWalk

	part    []int   // vertex -> index into parts
	parts   [][]int // largest first, then by the lowest vertex
	start   []int32 // part -> place of its first vertex in the walk
	in      []int32 // the blocks of each vertex, one vertex after the other
	inStart []int32

	redundant int // pairs of vertices with two disjoint routes
}

func newLayout(g *graph) *layout {
	n := g.size()
	l := &layout{blockWalk: walkBlocks(g), part: make([]int, n), inStart: make([]int32, n+1)}
	l.findParts()
	for _, block := range l.blocks {
		for _, v := range block {
			l.inStart[v+1]++
		}
		if len(block) > 2 {
			l.redundant += pairsOf(len(block))
		}
	}
	for v := range n {
		l.inStart[v+1] += l.inStart[v]
	}
	l.in = make([]int32, l.inStart[n])
	fill := slices.Clone(l.inStart[:n])
	for b, block := range l.blocks {
		for _, v := range block {
			l.in[fill[v]] = int32(b)
			fill[v]++
		}
	}
	return l
}

func (l *layout) findParts() {
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
		l.parts = append(l.parts, part)
	}
	slices.SortStableFunc(l.parts, func(x, y []int) int { return cmp.Or(len(y)-len(x), x[0]-y[0]) })
	l.start = make([]int32, len(l.parts))
	for k, part := range l.parts {
		l.start[k] = l.order[part[0]] // the walk begins at the lowest
		for _, v := range part {
			l.part[v] = k
		}
	}
}

// blocksOf are the blocks a vertex is in.
func (l *layout) blocksOf(v int) []int32 { return l.in[l.inStart[v]:l.inStart[v+1]] }

// joined is how many pairs of vertices have a route.
func (l *layout) joined() int {
	n := 0
	for _, part := range l.parts {
		n += pairsOf(len(part))
	}
	return n
}

// cuts reports whether the loss of a vertex splits its part.
func (l *layout) cuts(v int) bool { return len(l.blocksOf(v)) > 1 }

// partners is how many vertices a vertex has two disjoint routes to.
func (l *layout) partners(v int) int {
	n := 0
	for _, b := range l.blocksOf(v) {
		if size := len(l.blocks[b]); size > 2 {
			n += size - 1
		}
	}
	return n
}

// singleRoutes lists the first most pairs with one route but not two, by the
// lower vertex and then the higher.
func (l *layout) singleRoutes(most int) [][2]int {
	var list [][2]int
	partner := make([]int, l.g.size()) // the last vertex, plus one, it is a partner of
	for v := range l.part {
		part := l.parts[l.part[v]]
		if l.partners(v) == len(part)-1 {
			continue
		}
		for _, b := range l.blocksOf(v) {
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
