package plan

import "slices"

// lossFinder tells what the loss of one vertex or edge costs. One per worker.
type lossFinder struct {
	*layout
	f       *blockFinder
	gateway []bool // nil without gateways
	hasWay  []bool // part -> a gateway is in it
}

func newLossFinder(l *layout, gateways []int) *lossFinder {
	x := &lossFinder{layout: l, f: newBlockFinder(l.sparse)}
	x.f.of = l.of
	if len(gateways) > 0 {
		x.noGateway()
		for _, v := range gateways {
			x.gateway[v], x.hasWay[l.part[v]] = true, true
		}
	}
	return x
}

// noGateway makes gateways count although there is none yet.
func (x *lossFinder) noGateway() {
	x.gateway, x.hasWay = make([]bool, x.g.size()), make([]bool, len(x.parts))
}

// ofVertex is what the failure of v costs the others.
func (x *lossFinder) ofVertex(v int) Effect {
	var e Effect
	for _, b := range x.in[v] {
		if n := len(x.block[b]); n > 2 {
			e.RedundantPairs += pairsOf(n-1) - x.redundantIn(b, int32(v), -1)
		}
	}
	part := x.parts[x.part[v]]
	pieces := [][]int{}
	if x.cuts(v) {
		pieces = x.pieces(v, part)
		e.JoinedPairs = pairsOf(len(part) - 1)
		for _, p := range pieces {
			e.JoinedPairs -= pairsOf(len(p))
		}
	} else if x.gateway != nil && x.gateway[v] && len(part) > 1 {
		pieces = [][]int{slices.DeleteFunc(slices.Clone(part), func(w int) bool { return w == v })}
	}
	for _, p := range x.cutOff(pieces, x.part[v]) {
		e.CutOff += len(p)
		e.Poles = append(e.Poles, p...)
	}
	slices.Sort(e.Poles)
	if len(e.Poles) > MaxListed {
		e.Poles = slices.Clone(e.Poles[:MaxListed])
	}
	return e
}

// redundantIn is how many pairs of a block still have two disjoint routes
// without a vertex or an edge of it.
func (x *lossFinder) redundantIn(block, vertex, edge int32) int {
	x.f.reset()
	x.f.inBlock, x.f.skipVertex, x.f.skipEdge = block, vertex, edge
	n := 0
	for _, root := range x.block[block] {
		x.f.walk(root, func(vertices, _ []int32) {
			if len(vertices) > 2 {
				n += pairsOf(len(vertices))
			}
		})
	}
	return n
}

// pieces are what a part falls into without v, in the order of their lowest
// vertex.
func (x *lossFinder) pieces(v int, part []int) [][]int {
	x.f.reset()
	x.f.inBlock, x.f.skipVertex, x.f.skipEdge = -1, int32(v), -1
	var out [][]int
	for _, root := range part {
		before := len(x.f.touched)
		if x.f.walk(int32(root), func(_, _ []int32) {}) == 0 {
			continue
		}
		piece := make([]int, 0, len(x.f.touched)-before)
		for _, w := range x.f.touched[before:] {
			piece = append(piece, int(w))
		}
		out = append(out, piece)
	}
	return out
}

// cutOff returns the pieces of a part that lose every gateway or, without
// gateways, all but the largest (the first of equals).
func (x *lossFinder) cutOff(pieces [][]int, part int) [][]int {
	if x.gateway != nil {
		if !x.hasWay[part] {
			return nil // they had none
		}
		return slices.DeleteFunc(pieces, func(p []int) bool {
			return slices.ContainsFunc(p, func(v int) bool { return x.gateway[v] })
		})
	}
	largest := -1
	for i, p := range pieces {
		if largest < 0 || len(p) > len(pieces[largest]) {
			largest = i
		}
	}
	if largest < 0 {
		return nil
	}
	return slices.Delete(pieces, largest, largest+1)
}

// ofEdge is what the loss of an edge of the sparse graph costs: pairs that
// lose their only route, pairs that lose their second.
func (x *lossFinder) ofEdge(edge int32) (joined, redundant int) {
	b := x.of[edge]
	e := x.sparse.ends[edge]
	if n := len(x.block[b]); n > 2 {
		if x.g.shareNeighbours(e[0], e[1], 2) {
			return 0, 0 // two other routes, over one pole each
		}
		return 0, pairsOf(n) - x.redundantIn(b, -1, edge)
	}
	x.f.reset()
	x.f.inBlock, x.f.skipVertex, x.f.skipEdge = -1, -1, edge
	near := x.f.walk(e[0], func(_, _ []int32) {})
	return near * (len(x.parts[x.part[e[0]]]) - near), 0
}
