package mesh

import (
	"math"

	"github.com/polereach/polereach/linkbudget/mesh/internal/graph"
)

// Route is a way from a pole to a gateway.
type Route struct {
	Gateway int
	Poles   []int // from the pole to the gateway, both included
	Pairs   []int // the links between them
	// Solid says that every link of it is solid.
	Solid bool
	// Probability is the chance that every link of it closes, their doubts taken
	// as independent; Delivery the share of packets that pass all of them at the
	// median level.
	Probability, Delivery float64
	// Transmissions is how often a packet is sent on average until it has passed
	// each link once, repeated without end: the sum of 1/Delivery of the links, in
	// their weaker direction, at the median level (De Couto et al., MobiCom 2003,
	// without acknowledgement). 0 where a link delivers less than 1e-9.
	Transmissions float64
}

// Hops is how many links the way of the pole takes to a gateway: 0 at one, -1
// without a route or without gateways.
func (s *Pole) Hops() int {
	if s.Route == nil {
		return -1
	}
	return len(s.Route.Pairs)
}

// leastDelivery keeps transmissions finite; leastProbability is no way; leastGain is
// what a longer way must be more probable for each link, so that three links as good
// as certain do not win against one by their last digits (engineering judgement).
const leastDelivery, leastProbability, leastGain = 1e-9, 1e-6, 0.005

// route finds the ways to the gateways, over the solid links and, for those more
// probable, over every link; nil without gateways.
func (m *Mesh) route(solid pairGraph) *graph.Routes {
	if len(m.Gateways) == 0 {
		return nil
	}
	weights := make([]graph.Weight, len(solid.pair))
	for e, i := range solid.pair {
		p := &m.Pairs[i]
		weights[e] = graph.Weight{First: thousandths(p.Delivery), Second: doubtful(p.Probability)}
	}
	shortest := graph.NewRoutes(solid.Graph, weights, m.Gateways)

	any := m.graphOf(func(p *Pair) bool { return p.Probability >= leastProbability })
	weights = make([]graph.Weight, len(any.pair))
	for e, i := range any.pair {
		weights[e] = graph.Weight{First: doubtful(m.Pairs[i].Probability) + leastGain, Second: 1}
	}
	likeliest := graph.NewRoutes(any.Graph, weights, m.Gateways)
	for v := range m.Stations {
		s := &m.Stations[v]
		s.Route = m.routeOf(shortest, solid.pair, int32(v))
		told := 0.0
		if s.Route != nil {
			told = s.Route.Probability
		}
		if r := m.routeOf(likeliest, any.pair, int32(v)); r != nil && r.Probability > told+leastGain {
			s.Likelier = r
		}
	}
	return shortest
}

// thousandths are the transmissions of a link in whole thousandths, so that ways
// whose packet errors differ by less are equally long, and sums are exact.
func thousandths(delivery float64) float64 { return math.Round(1000 / max(delivery, leastDelivery)) }

// doubtful is -ln p: the sum over a way is least where the product is largest.
func doubtful(probability float64) float64 {
	return -math.Log(min(max(probability, leastProbability), 1)) + 0 // no negative zero
}

// routeOf is the way from v, nil without one.
func (m *Mesh) routeOf(ways *graph.Routes, pair []int, v int32) *Route {
	if !ways.Reaches(v) {
		return nil
	}
	r := &Route{Poles: []int{int(v)}, Solid: true, Probability: 1, Delivery: 1}
	endless := false
	for next, edge := ways.Next(v); edge >= 0; next, edge = ways.Next(v) {
		v = next
		i := pair[edge]
		p := &m.Pairs[i]
		r.Pairs, r.Poles = append(r.Pairs, i), append(r.Poles, int(v))
		r.Solid = r.Solid && p.Solid()
		r.Probability *= p.Probability
		r.Delivery *= p.Delivery
		if endless = endless || p.Delivery < leastDelivery; !endless {
			r.Transmissions += 1 / p.Delivery
		}
	}
	if endless {
		r.Transmissions = 0
	}
	r.Gateway = int(v)
	return r
}
