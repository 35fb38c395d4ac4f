package graph

import "slices"

// MaxListed bounds the vertices an Effect lists; its count is whole.
const MaxListed = 100

// Effect is what a vertex makes to the others: lost when it fails, gained when it comes.
// The vertex itself is not counted, nor others that come with it. Vertices of a mesh are
// its poles.
type Effect struct {
	// CutOff counts the vertices that lose (or gain) their route to every gateway or,
	// without gateways, to a larger part; Vertices lists the first MaxListed.
	CutOff   int
	Vertices []int
	// JoinedPairs is how many pairs of other vertices lose (or gain) their only route,
	// RedundantPairs how many lose (or gain) a second, disjoint one.
	JoinedPairs, RedundantPairs int
}

// gatewayCount counts the gateways of a graph.
type gatewayCount struct {
	l      *Layout
	before []int32 // gateways before each place of the walk; nil where they do not count
}

func newGatewayCount(l *Layout, at []int, counts bool) gatewayCount {
	if !counts {
		return gatewayCount{l: l}
	}
	before := make([]int32, l.g.Size()+1)
	for _, v := range at {
		before[l.order[v]+1] = 1
	}
	for i := 1; i < len(before); i++ {
		before[i] += before[i-1]
	}
	return gatewayCount{l, before}
}

func (c gatewayCount) has(v int) bool {
	at := c.l.order[v]
	return c.before != nil && c.before[at+1] > c.before[at]
}

// in is how many are in a piece.
func (c gatewayCount) in(p piece) (n int32) {
	if c.before == nil {
		return 0
	}
	for _, s := range p.stretches {
		n += c.before[s[1]] - c.before[s[0]]
	}
	return n
}

// cutOff fills in which pieces lose every gateway, if they had one before, or,
// where gateways do not count, all but the largest (of equals that with the
// lowest vertex).
func (c gatewayCount) cutOff(e *Effect, pieces []piece, had bool) {
	switch {
	case c.before == nil:
		largest := 0
		for i, p := range pieces {
			if d := p.size - pieces[largest].size; d > 0 || d == 0 && i > 0 && c.l.lowest(p) < c.l.lowest(pieces[largest]) {
				largest = i
			}
		}
		pieces = slices.Delete(pieces, largest, largest+1)
	case had:
		pieces = slices.DeleteFunc(pieces, func(p piece) bool { return c.in(p) > 0 })
	default:
		return
	}
	for _, p := range pieces {
		e.CutOff += p.size
	}
	e.Vertices = c.l.first(pieces, e.CutOff, MaxListed)
}
