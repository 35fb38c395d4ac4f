package graph

// blockWalk visits a graph depth first and finds its blocks on the way: the
// largest subgraphs that no single vertex splits. Two vertices have two routes
// without a common vertex or edge exactly if they share a block of three
// vertices or more; a block of two is a bridge; a vertex in two blocks is a cut
// vertex (Hopcroft and Tarjan, Algorithm 447, CACM 1973; Diestel, Graph Theory,
// §3.1).
//
// The walk is a loop, not a recursion: a graph may be one long row.
type blockWalk struct {
	g *Graph
	// visited lists the vertices in the order of the walk; those below a vertex
	// follow it, size of them, itself included. order is the place of a vertex.
	visited, order, size []int32
	starts               []int32   // places of the first vertex of each part
	up                   []int32   // block of the edge towards the root, -1 at a root
	blocks               [][]int32 // vertices: that nearest to the root, the first below it, the others
	of                   []int32   // edge -> block

	low    []int32 // lowest place reached from below a vertex
	frames []frame
	edges  []int32 // of blocks not yet complete
}

type frame struct {
	v, parentEdge int32
	next          int32 // arcs looked at
}

func walkBlocks(g *Graph) *blockWalk {
	n := g.Size()
	w := &blockWalk{g: g, visited: make([]int32, 0, n), order: make([]int32, n), size: make([]int32, n),
		up: make([]int32, n), of: make([]int32, len(g.ends)), low: make([]int32, n)}
	for v := range n {
		w.order[v], w.up[v] = -1, -1
	}
	for root := range int32(n) {
		if w.order[root] < 0 {
			w.starts = append(w.starts, int32(len(w.visited)))
			w.part(root)
		}
	}
	return w
}

// part walks through the part of the graph that root is in.
func (w *blockWalk) part(root int32) {
	w.enter(root, -1)
	for len(w.frames) > 0 {
		top := &w.frames[len(w.frames)-1]
		v, edge := top.v, top.parentEdge
		if arcs := w.g.From(v); int(top.next) < len(arcs) {
			a := arcs[top.next]
			top.next++
			w.look(v, edge, a)
			continue
		}
		w.size[v] = int32(len(w.visited)) - w.order[v]
		w.frames = w.frames[:len(w.frames)-1]
		if edge < 0 {
			continue
		}
		parent := w.frames[len(w.frames)-1].v
		w.low[parent] = min(w.low[parent], w.low[v])
		if w.low[v] >= w.order[parent] {
			w.complete(parent, edge)
		}
	}
}

func (w *blockWalk) enter(v, edge int32) {
	w.order[v] = int32(len(w.visited))
	w.low[v] = w.order[v]
	w.visited = append(w.visited, v)
	w.frames = append(w.frames, frame{v: v, parentEdge: edge})
}

// look follows one arc out of v.
func (w *blockWalk) look(v, parentEdge int32, a Arc) {
	switch {
	case a.Edge == parentEdge:
	case w.order[a.To] < 0:
		w.edges = append(w.edges, a.Edge)
		w.enter(a.To, a.Edge)
	case w.order[a.To] < w.order[v]: // back up
		w.edges = append(w.edges, a.Edge)
		w.low[v] = min(w.low[v], w.order[a.To])
	}
}

// complete takes the edges of a block, down to its first, off the pile.
func (w *blockWalk) complete(top, first int32) {
	i := len(w.edges) - 1
	for w.edges[i] != first {
		i--
	}
	id := int32(len(w.blocks))
	members := []int32{top}
	for _, e := range w.edges[i:] {
		w.of[e] = id
		for _, v := range w.g.ends[e] {
			if v != top && w.up[v] < 0 { // below top, and in no block yet
				w.up[v] = id
				members = append(members, v)
			}
		}
	}
	w.edges = w.edges[:i]
	w.blocks = append(w.blocks, members)
}
