package plan

import (
	"cmp"
	"slices"

	"github.com/polereach/polereach/linkbudget"
)

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
