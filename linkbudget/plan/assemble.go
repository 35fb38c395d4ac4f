package plan

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/polereach/polereach/linkbudget"
)

// maxFailurePoles is the most poles for which the failure of each is worked
// out: the work grows with the square of their number, some ten seconds here.
const maxFailurePoles = 10_000

// assemble makes the mesh of all pairs, in order, and the ground under all poles.
func (j *job) assemble(ctx context.Context, pairs []Pair, ground []GroundAt) (*Mesh, error) {
	m := &Mesh{Plan: j.p, Options: j.opt, Cost: j.cost, Pairs: pairs, Stations: make([]MeshStation, len(j.stations))}
	// What does not change the answer is left out of it.
	m.Options.Shard, m.Options.Shards, m.Options.Workers, m.Options.Progress = 1, 1, 0, nil
	for i := range m.Stations {
		s := &m.Stations[i]
		s.Station, s.At, s.Status = j.stations[i], j.p.Stations[i].At, j.p.Stations[i].Status
		s.Hops = -1
		var err error
		if s.Rules, err = j.opt.rules(s.Station, j.opt.Settings.Environment); err != nil {
			return nil, err
		}
	}
	for _, g := range ground {
		m.Stations[g.Station].GroundM, m.Stations[g.Station].GroundFlag = g.M, g.Flag
	}
	for _, name := range j.opt.Gateways {
		for i := range j.p.Stations {
			if j.p.Stations[i].Name == name {
				m.Gateways = append(m.Gateways, i)
				break
			}
		}
	}
	solid := m.graphOf(func(p *Pair) bool { return p.Solid() })
	l := newLayout(solid.graph)
	m.shape(l, solid)
	m.judge(solid)
	ways := m.route()
	if err := m.failures(ctx, l, j.opt.Workers); err != nil {
		return nil, err
	}
	if err := m.rankLinks(ctx, l, solid, ways, j.opt.Workers); err != nil {
		return nil, err
	}
	return m, m.load(j.opt)
}

// pairGraph is a graph whose edges are pairs.
type pairGraph struct {
	*graph
	pair []int // edge -> Pairs
}

func (m *Mesh) graphOf(has func(*Pair) bool) pairGraph {
	var ends [][2]int32
	var pair []int
	for i := range m.Pairs {
		if p := &m.Pairs[i]; has(p) {
			ends = append(ends, [2]int32{int32(p.A), int32(p.B)})
			pair = append(pair, i)
		}
	}
	return pairGraph{newGraph(len(m.Stations), ends), pair}
}

// shape fills in what the solid links make of the poles.
func (m *Mesh) shape(l *layout, solid pairGraph) {
	m.Components = l.parts
	hops := solid.hops(m.Gateways)
	for v := range m.Stations {
		s := &m.Stations[v]
		s.Component, s.Hops = l.part[v], hops[v]
		for _, a := range solid.from(int32(v)) {
			s.Neighbours = append(s.Neighbours, int(a.to))
		}
		if len(s.Neighbours) == 0 {
			m.Alone = append(m.Alone, v)
		}
		if l.cuts(v) {
			m.CutPoles = append(m.CutPoles, v)
		}
	}
	all, joined := pairsOf(len(m.Stations)), l.joined()
	m.SingleRoute = SingleRoutes{Pairs: all, Unjoined: all - joined, Single: joined - l.redundant}
	if m.SingleRoute.Single > 0 {
		m.SingleRoute.Listed = l.singleRoutes(MaxListed)
	}
}

// judge finds the verdicts and the required links that fail.
func (m *Mesh) judge(solid pairGraph) {
	worst := linkbudget.Reaches
	for i := range m.Pairs {
		p := &m.Pairs[i]
		if p.Solid() {
			m.Reached++
		}
		if !p.Required {
			continue
		}
		m.RequiredCount++
		if p.Solid() {
			m.RequiredReached++
			continue
		}
		m.Failing = append(m.Failing, i)
		if rank[p.Verdict] > rank[worst] {
			worst = p.Verdict
		}
	}
	slices.SortStableFunc(m.Failing, func(x, y int) int {
		a, b := &m.Pairs[x], &m.Pairs[y]
		return cmp.Or(rank[b.Verdict]-rank[a.Verdict], cmp.Compare(a.Probability, b.Probability))
	})
	m.Connected = m.connected(solid)
	m.Verdict = worst
	if (m.RequiredCount == 0 || len(m.Gateways) > 0) && rank[m.Connected] > rank[worst] {
		m.Verdict = m.Connected
	}
}

// connected tries solid links, then those that could not be judged, then the
// marginal ones as well.
func (m *Mesh) connected(solid pairGraph) linkbudget.Verdict {
	sources := m.Gateways
	if len(sources) == 0 {
		sources = []int{0}
	}
	whole := func(g *graph) bool { return !slices.Contains(g.hops(sources), -1) }
	if whole(solid.graph) {
		return linkbudget.Reaches
	}
	for _, v := range []linkbudget.Verdict{linkbudget.Unknown, linkbudget.Marginal} {
		g := m.graphOf(func(p *Pair) bool { return rank[p.Verdict] <= rank[v] })
		if whole(g.graph) {
			return v
		}
	}
	return linkbudget.Short
}

// route finds the most probable routes to the gateways, over every link that
// may close; nil without gateways.
func (m *Mesh) route() *pairRoutes {
	if len(m.Gateways) == 0 {
		return nil
	}
	// Less than one in a million is no way, and keeps its logarithm finite.
	g := m.graphOf(func(p *Pair) bool { return p.Probability >= 1e-6 })
	probability := make([]float64, len(g.pair))
	for e, i := range g.pair {
		probability[e] = m.Pairs[i].Probability
	}
	ways := &pairRoutes{newRoutes(g.graph, probability, m.Gateways), g.pair}
	for v := range m.Stations {
		if ways.best[v] != nowhere {
			m.Stations[v].Route = m.routeOf(ways, int32(v))
		}
	}
	return ways
}

type pairRoutes struct {
	*routes
	pair []int
}

func (m *Mesh) routeOf(ways *pairRoutes, v int32) *Route {
	r := &Route{Poles: []int{int(v)}, Solid: true, Probability: 1, Delivery: 1}
	endless := false
	for ; ways.via[v] >= 0; v = ways.next[v] {
		i := ways.pair[ways.via[v]]
		p := &m.Pairs[i]
		r.Pairs, r.Poles = append(r.Pairs, i), append(r.Poles, int(ways.next[v]))
		r.Solid = r.Solid && p.Solid()
		r.Probability *= p.Probability
		r.Delivery *= p.Delivery
		if endless = endless || p.Delivery < 1e-9; !endless {
			r.Transmissions += 1 / p.Delivery
		}
	}
	if endless {
		r.Transmissions = 0
	}
	r.Gateway = int(v)
	return r
}

// failures works out what each pole is worth.
func (m *Mesh) failures(ctx context.Context, l *layout, workers int) error {
	if n := len(m.Stations); n > maxFailurePoles {
		m.Warnings = append(m.Warnings, fmt.Sprintf("%d poles: what the failure of single poles and of links that are no bridges costs is worked out up to %d", n, maxFailurePoles))
		return nil
	}
	return eachChunk(ctx, workers, len(m.Stations), func(ctx context.Context, from, to int) error {
		x := newLossFinder(l, m.Gateways)
		for v := from; v < to; v++ {
			if err := ctx.Err(); err != nil {
				return err
			}
			s := &m.Stations[v]
			s.Loss = x.ofVertex(v)
			if s.Status == Proposed {
				// What it adds to the standing poles is what they lose again without it.
				with := l.g.without(func(w int32) bool { return int(w) == v || m.Stations[w].Status == Standing })
				gain := newLossFinder(newLayout(with), m.standing(m.Gateways, v)).ofVertex(v)
				s.Gain = &gain
			}
		}
		return nil
	})
}

// standing are the poles of a list that stand, and v.
func (m *Mesh) standing(list []int, v int) []int {
	var out []int
	for _, w := range list {
		if w == v || m.Stations[w].Status == Standing {
			out = append(out, w)
		}
	}
	return out
}
