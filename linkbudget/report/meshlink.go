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

// meshLinks gives every pair as a meshLink, in the order of Mesh.Pairs.
type meshLinks struct {
	m    *plan.Mesh
	rank []int32 // pair -> its place in Ranking, from 1; 0 for none
}

func newMeshLinks(m *plan.Mesh) meshLinks {
	list := meshLinks{m, make([]int32, len(m.Pairs))}
	for k := range m.Ranking {
		list.rank[m.Ranking[k].Pair] = int32(k + 1)
	}
	return list
}

func (list meshLinks) at(i int) meshLink {
	p := &list.m.Pairs[i]
	l := meshLink{Pair: p, from: list.m.Stations[p.A].Station.Name, to: list.m.Stations[p.B].Station.Name}
	if k := list.rank[i]; k > 0 {
		l.rank = &list.m.Ranking[k-1]
	}
	return l
}

// byWeight orders pairs: solid links, those that matter most first, then the
// required ones that fail, worst first, then the others as in Mesh.Pairs.
func byWeight(m *plan.Mesh) []int32 {
	order := make([]int32, 0, len(m.Pairs))
	done := make([]bool, len(m.Pairs))
	take := func(i int) {
		if !done[i] {
			done[i] = true
			order = append(order, int32(i))
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
