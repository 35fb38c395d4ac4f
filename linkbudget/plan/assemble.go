package plan

import (
	"context"
)

// assemble makes the mesh of all pairs, in order, and the ground under all poles.
func (j *job) assemble(ctx context.Context, pairs []Pair, ground []GroundAt) (*Mesh, error) {
	m := &Mesh{Plan: j.p, Options: j.opt, Cost: j.cost, Pairs: pairs, Stations: make([]MeshStation, len(j.stations))}
	// What does not change the answer is left out of it.
	m.Options.Shard, m.Options.Shards, m.Options.Workers, m.Options.Progress = 1, 1, 0, nil
	for i := range m.Stations {
		s := &m.Stations[i]
		s.Station, s.At, s.Status = j.stations[i], j.p.Stations[i].At, j.p.Stations[i].Status
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
	m.judge()
	ways := m.route(solid)
	losses := newLossFinder(l, m.Gateways)
	if err := m.failures(ctx, l, losses); err != nil {
		return nil, err
	}
	m.rankLinks(losses, solid, ways)
	return m, m.load(j.opt)
}

// pairGraph is a graph whose edges are pairs.
type pairGraph struct {
	*graph
	pair []int // edge -> Pairs
}

func (m *Mesh) graphOf(has func(*Pair) bool) pairGraph {
	ends, pair := make([][2]int32, 0, len(m.Pairs)), make([]int, 0, len(m.Pairs))
	for i := range m.Pairs {
		if p := &m.Pairs[i]; has(p) {
			ends = append(ends, [2]int32{p.A, p.B})
			pair = append(pair, i)
		}
	}
	return pairGraph{newGraph(len(m.Stations), ends), pair}
}

// shape fills in what the solid links make of the poles.
func (m *Mesh) shape(l *layout, solid pairGraph) {
	m.Components = l.parts
	room := make([]int, 0, 2*len(solid.pair)) // for the neighbours of all
	for v := range m.Stations {
		s := &m.Stations[v]
		s.Component = l.part[v]
		first := len(room)
		for _, a := range solid.from(int32(v)) {
			room = append(room, int(a.to))
		}
		if s.Neighbours = room[first:len(room):len(room)]; len(s.Neighbours) == 0 {
			s.Neighbours = nil
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
