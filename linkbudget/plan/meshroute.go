package plan

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
