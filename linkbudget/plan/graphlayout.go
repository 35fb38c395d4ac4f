package plan

import (
	"cmp"
	"slices"
)

// layout is the graph of the mesh with all that is known of its parts, blocks
// and cuts.
type layout struct {
	g      *graph // every solid link
	sparse *graph // its certificate, which blocks and cuts are told from

	part  []int     // vertex -> index into parts
	parts [][]int   // largest first, then by the lowest vertex
	block [][]int32 // vertices, sorted; those of two are bridges
	in    [][]int32 // vertex -> the blocks it is in
	of    []int32   // edge of sparse -> block

	redundant int // pairs of vertices with two disjoint routes
}

func newLayout(g *graph) *layout { return layoutBy(g, certificate(g)) }

// layoutBy takes a certificate that is known.
func layoutBy(g, sparse *graph) *layout {
	l := &layout{g: g, sparse: sparse, part: make([]int, g.size()), in: make([][]int32, g.size())}
	l.of = make([]int32, len(l.sparse.ends))
	f := newBlockFinder(l.sparse)
	for root := range int32(g.size()) {
		before := len(f.touched)
		if f.walk(root, l.addBlock) == 0 {
			continue
		}
		part := make([]int, 0, len(f.touched)-before)
		for _, v := range f.touched[before:] {
			part = append(part, int(v))
		}
		slices.Sort(part)
		l.parts = append(l.parts, part)
	}
	slices.SortStableFunc(l.parts, func(x, y []int) int { return cmp.Or(len(y)-len(x), x[0]-y[0]) })
	for k, part := range l.parts {
		for _, v := range part {
			l.part[v] = k
		}
	}
	return l
}

func (l *layout) addBlock(vertices, edges []int32) {
	id := int32(len(l.block))
	vertices = slices.Clone(vertices)
	slices.Sort(vertices)
	l.block = append(l.block, vertices)
	for _, v := range vertices {
		l.in[v] = append(l.in[v], id)
	}
	for _, e := range edges {
		l.of[e] = id
	}
	if len(vertices) > 2 {
		l.redundant += pairsOf(len(vertices))
	}
}

// joined is how many pairs of vertices have a route.
func (l *layout) joined() int {
	n := 0
	for _, part := range l.parts {
		n += pairsOf(len(part))
	}
	return n
}

// cuts reports whether the loss of a vertex splits its part.
func (l *layout) cuts(v int) bool { return len(l.in[v]) > 1 }

// partners is how many vertices a vertex has two disjoint routes to.
func (l *layout) partners(v int) int {
	n := 0
	for _, b := range l.in[v] {
		if size := len(l.block[b]); size > 2 {
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
		for _, b := range l.in[v] {
			if len(l.block[b]) > 2 {
				for _, w := range l.block[b] {
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
