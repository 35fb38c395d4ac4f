package graph

// Losses tell what the loss of one vertex or edge costs the others.
type Losses struct {
	*Layout
	vertexLoss []int // pairs that lose their second route
	edgeLoss   []int
	gateways   gatewayCount
}

// NewLosses looks at a layout with gateways at some vertices, nil for none.
func NewLosses(l *Layout, at []int) *Losses {
	x := &Losses{Layout: l, vertexLoss: make([]int, l.g.Size()), edgeLoss: make([]int, len(l.g.ends)),
		gateways: newGatewayCount(l, at, len(at) > 0)}
	members := make([][]int32, len(l.blocks)) // edges of each block
	for e, b := range l.of {
		if len(l.blocks[b]) > 2 {
			members[b] = append(members[b], int32(e))
		}
	}
	local := make([]int32, l.g.Size())
	for b, edges := range members {
		if len(edges) > 0 {
			x.lossIn(l.blocks[b], edges, local)
		}
	}
	return x
}

// lossIn finds what the losses within one block cost; local is scratch.
func (x *Losses) lossIn(block, edges, local []int32) {
	for i, v := range block {
		local[v] = int32(i)
	}
	ends := make([][2]int32, len(edges))
	for i, e := range edges {
		for k, v := range x.g.ends[e] {
			ends[i][k] = local[v]
		}
	}
	left, number := newBlockLoss(New(len(block), ends))
	for i, v := range block {
		x.vertexLoss[v] += PairsOf(len(block)-1) - left.vertexLeft[number[i]]
	}
	for i, e := range edges {
		x.edgeLoss[e] = PairsOf(len(block)) - left.edgeLeft[i]
	}
}

// OfVertex is what the failure of v costs the others.
func (x *Losses) OfVertex(v int) Effect {
	e := Effect{RedundantPairs: x.vertexLoss[v]}
	part := len(x.Parts[x.Part[v]])
	if x.Cuts(v) {
		pieces := x.pieces(int32(v))
		e.JoinedPairs = PairsOf(part - 1)
		for _, p := range pieces {
			e.JoinedPairs -= PairsOf(p.size)
		}
		x.gateways.cutOff(&e, pieces, x.gateways.in(x.ofPart(x.Part[v])) > 0)
	} else if x.gateways.has(v) && part > 1 {
		x.gateways.cutOff(&e, x.pieces(int32(v)), true)
	}
	return e
}

// OfEdge is what the loss of an edge costs: pairs that lose their only route,
// pairs that lose their second.
func (x *Losses) OfEdge(edge int32) (joined, redundant int) {
	b := x.of[edge]
	if len(x.blocks[b]) > 2 {
		return 0, x.edgeLoss[edge]
	}
	below := int(x.size[x.blocks[b][1]])
	return below * (len(x.Parts[x.Part[x.blocks[b][0]]]) - below), 0
}
