package mesh

import (
	"context"
	"slices"

	"github.com/polereach/polereach/linkbudget/mesh/internal/graph"
	"github.com/polereach/polereach/linkbudget/plan"
)

// assemble makes the mesh of all pairs, in order, and the ground under all poles.
func (j *job) assemble(ctx context.Context, pairs []Pair, ground []GroundAt) (*Mesh, error) {
	m := &Mesh{Plan: j.p, Options: j.opt, Cost: j.cost, Pairs: pairs, Stations: make([]Pole, len(j.stations))}
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
	l := graph.NewLayout(solid.Graph)
	m.shape(l, solid)
	m.judge()
	ways := m.route(solid)
	losses := graph.NewLosses(l, m.Gateways)
	if err := m.failures(ctx, l, losses); err != nil {
		return nil, err
	}
	m.rankLinks(losses, solid, ways)
	return m, m.load(j.opt)
}

// pairGraph is a graph whose edges are pairs.
type pairGraph struct {
	*graph.Graph
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
	return pairGraph{graph.New(len(m.Stations), ends), pair}
}

// shape fills in what the solid links make of the poles.
func (m *Mesh) shape(l *graph.Layout, solid pairGraph) {
	m.Components = l.Parts
	room := make([]int, 0, 2*len(solid.pair)) // for the neighbours of all
	for v := range m.Stations {
		s := &m.Stations[v]
		s.Component = l.Part[v]
		first := len(room)
		for _, a := range solid.From(int32(v)) {
			room = append(room, int(a.To))
		}
		if s.Neighbours = room[first:len(room):len(room)]; len(s.Neighbours) == 0 {
			s.Neighbours = nil
			m.Alone = append(m.Alone, v)
		}
		if l.Cuts(v) {
			m.CutPoles = append(m.CutPoles, v)
		}
	}
	all, joined := graph.PairsOf(len(m.Stations)), l.Joined()
	m.SingleRoute = SingleRoutes{Pairs: all, Unjoined: all - joined, Single: joined - l.Redundant}
	if m.SingleRoute.Single > 0 {
		m.SingleRoute.Listed = l.SingleRoutes(MaxListed)
	}
}

// failures works out what each pole is worth.
func (m *Mesh) failures(ctx context.Context, l *graph.Layout, x *graph.Losses) error {
	gains := graph.NewGains(l, func(v int) bool { return m.Stations[v].Status == plan.Standing }, m.Gateways)
	if slices.ContainsFunc(m.Stations, func(s Pole) bool { return s.Status == plan.Proposed }) {
		all := gains.Together()
		m.Together = &all
	}
	for v := range m.Stations {
		if err := ctx.Err(); err != nil {
			return err
		}
		s := &m.Stations[v]
		s.Loss = x.OfVertex(v)
		if s.Status == plan.Proposed {
			gain := gains.Of(v)
			s.Gain = &gain
		}
	}
	return nil
}

// mostPoles bounds what CountPairs begins.
const mostPoles = 1 << 24

// PairCounts says how some poles, the vertices, hang together over links that also lead
// through others.
type PairCounts = graph.Counts

// CountPairs counts over a mesh of poles, numbered from 0, and the links between
// them, no two of which join the same poles; of says which poles count. Of more than 16
// million poles, without of, and over a link to a pole that is not there nothing is counted.
func CountPairs(poles int, links [][2]int32, of func(pole int) bool) PairCounts {
	for _, l := range links {
		if min(l[0], l[1]) < 0 || int(max(l[0], l[1])) >= poles {
			return PairCounts{}
		}
	}
	if poles < 0 || poles > mostPoles || of == nil {
		return PairCounts{}
	}
	return graph.NewLayout(graph.New(poles, links)).Among(of)
}
