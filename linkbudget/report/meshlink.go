package report

import (
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
)

// meshLink is one examined pair with what it is to the mesh; rank is nil for a
// link that is not solid.
type meshLink struct {
	*plan.Pair
	rank     *plan.LinkRank
	from, to string
}

// meshLinks holds every pair, in the order of Mesh.Pairs.
func meshLinks(m *plan.Mesh) []meshLink {
	list := make([]meshLink, len(m.Pairs))
	for i := range m.Pairs {
		p := &m.Pairs[i]
		list[i] = meshLink{Pair: p, from: m.Stations[p.A].Station.Name, to: m.Stations[p.B].Station.Name}
	}
	for i := range m.Ranking {
		list[m.Ranking[i].Pair].rank = &m.Ranking[i]
	}
	return list
}

// byWeight orders pairs: solid links, those that matter most first, then the
// required ones that fail, worst first, then the others as in Mesh.Pairs.
func byWeight(m *plan.Mesh) []int {
	order := make([]int, 0, len(m.Pairs))
	done := make([]bool, len(m.Pairs))
	take := func(i int) {
		if !done[i] {
			done[i] = true
			order = append(order, i)
		}
	}
	for _, r := range m.Ranking {
		take(r.Pair)
	}
	for _, i := range m.Failing {
		take(i)
	}
	for i := range m.Pairs {
		take(i)
	}
	return order
}

func (l *meshLink) known() bool { return l.Verdict != linkbudget.Unknown }

// poleNames turns indices of stations into names; never nil.
func poleNames(m *plan.Mesh, poles []int) []string {
	names := make([]string, len(poles))
	for i, v := range poles {
		names[i] = m.Stations[v].Station.Name
	}
	return names
}

// meshWarnings are those of the plan file and of the check.
func meshWarnings(m *plan.Mesh) []string {
	return append(append([]string(nil), m.Plan.Warnings...), m.Warnings...)
}
