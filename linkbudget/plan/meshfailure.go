package plan

import (
	"context"
	"slices"
)

// failures works out what each pole is worth.
func (m *Mesh) failures(ctx context.Context, l *layout, x *lossFinder) error {
	gains := m.newGains(l.g)
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

// gains tells what proposed poles add to the standing ones, one at a time: what
// these would lose again without it.
type gains struct {
	all      *graph
	standing *gainFinder
	gateways gatewayCount
	proposed []int // gateways
	is       func(v int) bool
	near     []int32
}

func (m *Mesh) newGains(all *graph) *gains {
	g := &gains{all: all, is: func(v int) bool { return m.Stations[v].Status == Standing }}
	var standing []int
	for _, w := range m.Gateways {
		if g.is(w) {
			standing = append(standing, w)
		} else {
			g.proposed = append(g.proposed, w)
		}
	}
	l := newLayout(all.among(func(v int32) bool { return g.is(int(v)) }))
	g.standing, g.gateways = newGainFinder(l), newGatewayCount(l, standing, len(m.Gateways) > 0)
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
