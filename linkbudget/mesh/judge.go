package mesh

import (
	"cmp"
	"slices"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh/internal/graph"
)

// judge finds the verdicts and the required links that fail.
func (m *Mesh) judge() {
	worst := linkbudget.Reaches
	for i := range m.Pairs {
		p := &m.Pairs[i]
		if p.Solid() {
			m.Reached++
		}
		if p.Wanted() {
			m.WantedCount++
			if p.Solid() {
				m.WantedReached++
			}
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
		if rank(p.Verdict) > rank(worst) {
			worst = p.Verdict
		}
	}
	slices.SortStableFunc(m.Failing, func(x, y int) int {
		a, b := &m.Pairs[x], &m.Pairs[y]
		return cmp.Or(rank(b.Verdict)-rank(a.Verdict), cmp.Compare(a.Probability, b.Probability))
	})
	m.Connected = m.connected()
	m.Verdict = worst
	if (m.RequiredCount == 0 || len(m.Gateways) > 0) && rank(m.Connected) > rank(worst) {
		m.Verdict = m.Connected
	}
}

// connected tries solid links, then those that could not be judged, then the
// marginal ones as well. It goes over the pairs once: they are too many for the caches.
// Fewer than two poles are no mesh.
func (m *Mesh) connected() linkbudget.Verdict {
	if len(m.Stations) < 2 {
		return linkbudget.Unknown
	}
	sets := graph.NewSets(len(m.Stations))
	for _, v := range m.Gateways {
		sets.Join(int32(v), int32(m.Gateways[0]))
	}
	var unknown, marginal [][2]int32
	for i := range m.Pairs {
		if sets.Count == 1 {
			return linkbudget.Reaches
		}
		p := &m.Pairs[i]
		switch ends := [2]int32{p.A, p.B}; p.Verdict {
		case linkbudget.Reaches:
			sets.Join(ends[0], ends[1])
		case linkbudget.Unknown:
			unknown = append(unknown, ends)
		case linkbudget.Marginal:
			marginal = append(marginal, ends)
		}
	}
	for _, next := range []struct {
		verdict linkbudget.Verdict
		pairs   [][2]int32
	}{{linkbudget.Reaches, nil}, {linkbudget.Unknown, unknown}, {linkbudget.Marginal, marginal}} {
		for _, ends := range next.pairs {
			sets.Join(ends[0], ends[1])
		}
		if sets.Count == 1 {
			return next.verdict
		}
	}
	return linkbudget.Short
}
