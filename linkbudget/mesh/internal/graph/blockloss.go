package graph

// blockLoss tells how many pairs of vertices of one block still have two
// disjoint routes without one of its vertices, or without one of its edges.
//
// It reads them off the tree of the triconnected components (the SPQR tree of G.
// Di Battista and R. Tamassia, On-line maintenance of triconnected components
// with SPQR-trees, Algorithmica 15 (1996)). Without a vertex v, a triconnected
// component that holds v stays one block, together with all that hangs on it but
// not on v; a polygon that holds v becomes a chain, of which every virtual edge
// that does not end at v is a block of its own. Without an edge, only a polygon
// that holds it falls into a chain.
type blockLoss struct {
	s      *splitter
	found  *components
	pairs  [][2]int32 // the two pieces of each virtual edge
	node   []int32    // piece -> node of the tree, the number of one of its pieces
	next   []int32    // piece -> the next of its node, -1 at the end
	first  []int32    // node -> its first piece, -1 where it is none
	behind []int      // virtual edge -> vertices within the side away from the root
	below  []int32    // node -> the virtual edge towards the root, -1 at the root
	at     []int      // vertex -> sum over the virtual edges of a node that end there
	stamp  []int32    // vertex -> node that counted it last
	member []int32    // vertices of a node

	vertexLeft []int // by number of the splitter
	edgeLeft   []int // by edge
}

// newBlockLoss takes a graph of one block of three vertices or more.
func newBlockLoss(g *Graph) (*blockLoss, []int32) {
	s, number := newSplitter(g)
	n, m := g.Size(), len(g.ends)
	b := &blockLoss{s: s, found: s.split(), at: make([]int, n+1), stamp: make([]int32, n+1),
		vertexLeft: make([]int, n+1), edgeLeft: make([]int, m)}
	for e := range b.edgeLeft {
		b.edgeLeft[e] = PairsOf(n)
	}
	for v := range b.stamp {
		b.stamp[v] = -1
	}
	b.joinPolygons(int32(m))
	b.count(int32(m))
	for k := range b.first {
		if b.first[k] >= 0 && !b.found.bond[k] {
			b.take(int32(k), int32(m))
		}
	}
	return b, number
}

// joinPolygons makes nodes of the pieces: polygons with a virtual edge in common
// are one.
func (b *blockLoss) joinPolygons(real int32) {
	pieces := len(b.found.start)
	b.pairs = make([][2]int32, len(b.s.from)-int(real))
	seen := make([]bool, len(b.pairs))
	for k := range pieces {
		for _, e := range b.found.of(k) {
			if e >= real {
				if !seen[e-real] {
					b.pairs[e-real][0] = int32(k)
				}
				b.pairs[e-real][1], seen[e-real] = int32(k), true
			}
		}
	}
	polygon := func(k int32) bool { return !b.found.bond[k] && len(b.found.of(int(k))) == 3 }
	sets := NewSets(pieces)
	for _, p := range b.pairs {
		if polygon(p[0]) && polygon(p[1]) {
			sets.Join(p[0], p[1])
		}
	}
	b.node, b.first, b.next = make([]int32, pieces), make([]int32, pieces), make([]int32, pieces)
	for k := range b.first {
		b.first[k] = -1
	}
	for k := range int32(pieces) {
		root := sets.Top(k)
		b.node[k] = root
		b.next[k], b.first[root] = b.first[root], k
	}
}

// eachEdge calls f with the edges of a node; virtual ones within it are none.
func (b *blockLoss) eachEdge(node, real int32, f func(e int32)) {
	for k := b.first[node]; k >= 0; k = b.next[k] {
		for _, e := range b.found.of(int(k)) {
			if e < real || b.node[b.pairs[e-real][0]] != b.node[b.pairs[e-real][1]] {
				f(e)
			}
		}
	}
}

// vertices lists those of a node.
func (b *blockLoss) vertices(node, real int32) []int32 {
	b.member = b.member[:0]
	b.eachEdge(node, real, func(e int32) {
		for _, v := range [2]int32{b.s.from[e], b.s.to[e]} {
			if b.stamp[v] != node {
				b.stamp[v] = node
				b.member = append(b.member, v)
			}
		}
	})
	return b.member
}

// count walks through the tree and sums up what is behind each virtual edge.
func (b *blockLoss) count(real int32) {
	b.behind, b.below = make([]int, len(b.pairs)), make([]int32, len(b.node))
	root := b.node[0]
	b.below[root] = -1
	order := []int32{root}
	for i := 0; i < len(order); i++ {
		node := order[i]
		b.eachEdge(node, real, func(e int32) {
			if e >= real && e != b.below[node] {
				other := b.other(e-real, node)
				b.below[other] = e
				order = append(order, other)
			}
		})
	}
	for i := len(order) - 1; i > 0; i-- {
		node := order[i]
		n := len(b.vertices(node, real)) - 2
		b.eachEdge(node, real, func(e int32) {
			if e >= real && e != b.below[node] {
				n += b.behind[e-real]
			}
		})
		b.behind[b.below[node]-real] = n
	}
	for v := range b.stamp {
		b.stamp[v] = -1
	}
}

func (b *blockLoss) other(virtual, node int32) int32 {
	if a := b.node[b.pairs[virtual][0]]; a != node {
		return a
	}
	return b.node[b.pairs[virtual][1]]
}

// take adds what remains of a node that is no bond.
func (b *blockLoss) take(node, real int32) {
	polygon := len(b.found.of(int(b.first[node]))) == 3
	whole, n := 0, int(b.s.n)
	b.eachEdge(node, real, func(e int32) {
		if e < real {
			return
		}
		hangs := b.behind[e-real]
		if e == b.below[node] {
			hangs = n - 2 - hangs
		}
		if polygon {
			hangs = PairsOf(2 + hangs)
			whole += hangs
		}
		b.at[b.s.from[e]] += hangs
		b.at[b.s.to[e]] += hangs
	})
	for _, v := range b.vertices(node, real) {
		if polygon {
			b.vertexLeft[v] += whole - b.at[v]
		} else {
			b.vertexLeft[v] += PairsOf(n - 1 - b.at[v])
		}
		b.at[v] = 0
	}
	if polygon {
		b.eachEdge(node, real, func(e int32) {
			if e < real {
				b.edgeLeft[e] = whole
			}
		})
	}
}
