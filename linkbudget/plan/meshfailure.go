package plan

import (
	"context"
	"slices"
)

// failures works out what each pole is worth.
func (m *Mesh) failures(ctx context.Context, l *layout, x *lossFinder) error {
	gains := m.newGains(l.g)
	if slices.ContainsFunc(m.Stations, func(s MeshStation) bool { return s.Status == Proposed }) {
		all := gains.together(l)
		m.Together = &all
	}
	for v := range m.Stations {
		if err := ctx.Err(); err != nil {
			return err
		}
		s := &m.Stations[v]
		s.Loss = x.ofVertex(v)
		if s.Status == Proposed {
			gain := gains.of(v)
			s.Gain = &gain
		}
	}
	return nil
}

// gains tells what proposed poles add to the standing ones, one at a time, what
// these would lose again without it, or all together.
type gains struct {
	all      *graph
	standing *gainFinder
	gateways gatewayCount
	at       []int // standing gateways
	proposed []int // proposed gateways
	is       func(v int) bool
	near     []int32
}

func (m *Mesh) newGains(all *graph) *gains {
	g := &gains{all: all, is: func(v int) bool { return m.Stations[v].Status == Standing }}
	for _, w := range m.Gateways {
		if g.is(w) {
			g.at = append(g.at, w)
		} else {
			g.proposed = append(g.proposed, w)
		}
	}
	l := newLayout(all.among(func(v int32) bool { return g.is(int(v)) }))
	g.standing, g.gateways = newGainFinder(l), newGatewayCount(l, g.at, len(m.Gateways) > 0)
	return g
}

func (g *gains) of(v int) Effect {
	g.near = g.near[:0]
	for _, a := range g.all.from(int32(v)) {
		if g.is(int(a.to)) {
			g.near = append(g.near, a.to)
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

// together is what all proposed poles add, given the layout of all.
func (g *gains) together(all *layout) Effect {
	after, before := all.pairsAmong(g.is), g.standing.pairsAmong(g.is)
	e := Effect{JoinedPairs: after.Joined - before.Joined, RedundantPairs: after.Redundant - before.Redundant}
	gateways := newGatewayCount(all, append(slices.Clone(g.proposed), g.at...), g.gateways.before != nil)
	larger := make([]bool, len(all.parts)) // has a larger part of standing poles in it
	for k, part := range g.standing.parts {
		if !g.is(part[0]) {
			continue
		}
		in := all.part[part[0]]
		newly := larger[in]
		if gateways.before != nil {
			newly = g.gateways.in(g.standing.ofPart(k)) == 0 && gateways.in(all.ofPart(in)) > 0
		}
		larger[in] = true
		if newly {
			e.Poles = append(e.Poles, part...)
		}
	}
	e.CutOff = len(e.Poles)
	slices.Sort(e.Poles)
	e.Poles = slices.Clone(e.Poles[:min(len(e.Poles), MaxListed)])
	return e
}
