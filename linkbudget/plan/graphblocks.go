package plan

// blockFinder finds the blocks of a graph: its largest subgraphs that no single
// vertex splits. Two vertices have two routes without a common vertex or edge
// exactly if they share a block of three vertices or more; a block of two is a
// bridge; a vertex in two blocks is a cut vertex (Hopcroft and Tarjan, Algorithm
// 447, CACM 1973; Diestel, Graph Theory, §3.1).
//
// The walk is a loop, not a recursion: a mesh may be one long row of poles. A
// finder may be used again and again on one graph; each run clears only what it
// touched.
type blockFinder struct {
	g *graph
	// skipVertex and skipEdge are treated as absent, -1 for none; inBlock limits
	// a run to the edges of one block by of, -1 for all edges.
	skipVertex, skipEdge, inBlock int32
	of                            []int32 // edge -> block

	order, low []int32 // number in the walk, from 1; lowest number reached
	clock      int32
	frames     []frame
	edges      []int32 // of blocks not yet complete
	stamp      []int32 // vertex -> run of the last block listed
	stampNow   int32
	touched    []int32
	members    []int32
}

type frame struct {
	v, parentEdge int32
	next          int32 // arcs looked at
}

func newBlockFinder(g *graph) *blockFinder {
	n := g.size()
	return &blockFinder{g: g, skipVertex: -1, skipEdge: -1, inBlock: -1,
		order: make([]int32, n), low: make([]int32, n), stamp: make([]int32, n)}
}

// reset makes the next run start afresh.
func (f *blockFinder) reset() {
	for _, v := range f.touched {
		f.order[v] = 0
	}
	f.touched, f.clock = f.touched[:0], 0
}

// seen reports whether a vertex was reached since the last reset.
func (f *blockFinder) seen(v int32) bool { return f.order[v] != 0 }

// walk goes through the part of the graph that root is in and calls block with
// the vertices and edges of each block, both to be copied if kept. It returns
// how many vertices were reached, none if root is skipped or seen.
func (f *blockFinder) walk(root int32, block func(vertices, edges []int32)) int {
	if root == f.skipVertex || f.seen(root) {
		return 0
	}
	before := len(f.touched)
	f.enter(root, -1)
	for len(f.frames) > 0 {
		top := &f.frames[len(f.frames)-1]
		arcs := f.g.from(top.v)
		if int(top.next) < len(arcs) {
			a := arcs[top.next]
			top.next++
			f.look(top.v, top.parentEdge, a)
			continue
		}
		v, edge := top.v, top.parentEdge
		f.frames = f.frames[:len(f.frames)-1]
		if edge < 0 {
			continue
		}
		parent := f.frames[len(f.frames)-1].v
		f.low[parent] = min(f.low[parent], f.low[v])
		if f.low[v] >= f.order[parent] {
			f.emit(edge, block)
		}
	}
	return len(f.touched) - before
}

func (f *blockFinder) enter(v, edge int32) {
	f.clock++
	f.order[v], f.low[v] = f.clock, f.clock
	f.touched = append(f.touched, v)
	f.frames = append(f.frames, frame{v: v, parentEdge: edge})
}

// look follows one arc out of v.
func (f *blockFinder) look(v, parentEdge int32, a arc) {
	if a.edge == parentEdge || a.edge == f.skipEdge || a.to == f.skipVertex || f.inBlock >= 0 && f.of[a.edge] != f.inBlock {
		return
	}
	switch {
	case !f.seen(a.to):
		f.edges = append(f.edges, a.edge)
		f.enter(a.to, a.edge)
	case f.order[a.to] < f.order[v]: // back up
		f.edges = append(f.edges, a.edge)
		f.low[v] = min(f.low[v], f.order[a.to])
	}
}

// emit takes the edges of a complete block, down to its first, off the pile.
func (f *blockFinder) emit(first int32, block func(vertices, edges []int32)) {
	i := len(f.edges) - 1
	for f.edges[i] != first {
		i--
	}
	edges := f.edges[i:]
	f.edges = f.edges[:i]
	f.stampNow++
	f.members = f.members[:0]
	for _, e := range edges {
		for _, v := range f.g.ends[e] {
			if f.stamp[v] != f.stampNow {
				f.stamp[v] = f.stampNow
				f.members = append(f.members, v)
			}
		}
	}
	block(f.members, edges)
}

// pairsOf is how many pairs n things form.
func pairsOf(n int) int { return n * (n - 1) / 2 }
