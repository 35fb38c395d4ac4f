package graph

import "slices"

// gainFinder tells what one more vertex makes of a graph. A vertex with several
// neighbours in one part makes one block of all the blocks between them.
type gainFinder struct {
	*Layout
	now     int32   // stamp of the vertex looked at
	blockOf []int32 // block -> last vertex that took it in
	partOf  []int32 // part -> last vertex that touched it
	// Of each part touched: the vertex nearest to its root that was taken in, and
	// how many vertices and redundant pairs there were before.
	top         []int32
	taken, pair []int
	touched     []int // parts
}

func newGainFinder(l *Layout) *gainFinder {
	n := len(l.Parts)
	return &gainFinder{Layout: l, blockOf: make([]int32, len(l.blocks)), partOf: make([]int32, n),
		top: make([]int32, n), taken: make([]int, n), pair: make([]int, n)}
}

// touch begins anew, with a vertex that has these neighbours.
func (f *gainFinder) touch(neighbours []int32) {
	f.now++
	f.touched = f.touched[:0]
	for _, v := range neighbours {
		k := f.Part[v]
		if f.partOf[k] != f.now {
			f.partOf[k], f.top[k], f.taken[k], f.pair[k] = f.now, v, 1, 0
			f.touched = append(f.touched, k)
			continue
		}
		f.join(k, v)
	}
}

// join takes in the blocks between a vertex and those taken in before. Of two
// vertices, that visited later is not above the other: it climbs.
func (f *gainFinder) join(k int, v int32) {
	for v != f.top[k] && (f.up[v] < 0 || f.blockOf[f.up[v]] != f.now) {
		if f.order[v] > f.order[f.top[k]] {
			v = f.take(k, f.up[v])
		} else {
			f.top[k] = f.take(k, f.up[f.top[k]])
		}
	}
}

// take takes a block in, if it is not yet, and returns its top.
func (f *gainFinder) take(k int, b int32) int32 {
	if n := len(f.blocks[b]); f.blockOf[b] != f.now {
		f.blockOf[b] = f.now
		f.taken[k] += n - 1
		if n > 2 {
			f.pair[k] += PairsOf(n)
		}
	}
	return f.blocks[b][0]
}

// pairs is how many pairs of the others get a route, and a second one.
func (f *gainFinder) pairs() (joined, redundant int) {
	size := 0
	for _, k := range f.touched {
		n := len(f.Parts[k])
		joined += size * n
		size += n
		if f.taken[k] > 1 {
			redundant += PairsOf(f.taken[k]) - f.pair[k]
		}
	}
	return joined, redundant
}

// Gains tell what vertices that are not there yet add to those that are, one at a time,
// what these would lose again without it, or all together.
type Gains struct {
	all      *Layout
	standing *gainFinder
	gateways gatewayCount
	at       []int // gateways that are there
	proposed []int // gateways that are not
	is       func(v int) bool
	near     []int32
}

// NewGains looks at the layout of all, of which those is holds are there, with gateways
// at some, nil for none.
func NewGains(all *Layout, is func(v int) bool, gateways []int) *Gains {
	g := &Gains{all: all, is: is}
	for _, w := range gateways {
		if g.is(w) {
			g.at = append(g.at, w)
		} else {
			g.proposed = append(g.proposed, w)
		}
	}
	l := NewLayout(all.g.Among(func(v int32) bool { return g.is(int(v)) }))
	g.standing, g.gateways = newGainFinder(l), newGatewayCount(l, g.at, len(gateways) > 0)
	return g
}

// Of is what vertex v, which is not there, adds.
func (g *Gains) Of(v int) Effect {
	g.near = g.near[:0]
	for _, a := range g.all.g.From(int32(v)) {
		if g.is(int(a.To)) {
			g.near = append(g.near, a.To)
		}
	}
	g.standing.touch(g.near)
	var e Effect
	e.JoinedPairs, e.RedundantPairs = g.standing.pairs()
	had := slices.Contains(g.proposed, v)
	var pieces []piece
	for _, k := range g.standing.touched {
		p := g.standing.ofPart(k)
		pieces = append(pieces, p)
		had = had || g.gateways.in(p) > 0
	}
	if len(pieces) > 1 || len(pieces) == 1 && slices.Contains(g.proposed, v) {
		g.gateways.cutOff(&e, pieces, had)
	}
	return e
}

// Together is what all that are not there add.
func (g *Gains) Together() Effect {
	all := g.all
	after, before := all.Among(g.is), g.standing.Among(g.is)
	e := Effect{JoinedPairs: after.Joined - before.Joined, RedundantPairs: after.Redundant - before.Redundant}
	gateways := newGatewayCount(all, append(slices.Clone(g.proposed), g.at...), g.gateways.before != nil)
	larger := make([]bool, len(all.Parts)) // has a larger part of those that are there in it
	for k, part := range g.standing.Parts {
		if !g.is(part[0]) {
			continue
		}
		in := all.Part[part[0]]
		newly := larger[in]
		if gateways.before != nil {
			newly = g.gateways.in(g.standing.ofPart(k)) == 0 && gateways.in(all.ofPart(in)) > 0
		}
		larger[in] = true
		if newly {
			e.Vertices = append(e.Vertices, part...)
		}
	}
	e.CutOff = len(e.Vertices)
	slices.Sort(e.Vertices)
	e.Vertices = slices.Clone(e.Vertices[:min(len(e.Vertices), MaxListed)])
	return e
}
