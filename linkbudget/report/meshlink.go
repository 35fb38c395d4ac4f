package report

import "github.com/polereach/polereach/linkbudget/mesh"

// meshLinks gives every pair as a link, in the order of Mesh.Pairs.
type meshLinks struct {
	m    *mesh.Mesh
	rank []int32 // pair -> its place in Ranking, from 1; 0 for none
}

func newMeshLinks(m *mesh.Mesh) meshLinks {
	list := meshLinks{m, make([]int32, len(m.Pairs))}
	for k := range m.Ranking {
		list.rank[m.Ranking[k].Pair] = int32(k + 1)
	}
	return list
}

func (list meshLinks) at(i int) link {
	p := &list.m.Pairs[i]
	a, b := &list.m.Stations[p.A].Station, &list.m.Stations[p.B].Station
	l := link{Pair: p, from: a.Name, to: b.Name, heightAM: a.HeightM, heightBM: b.HeightM,
		banded: list.m.Options.Band != "", told: planned | named | located}
	if k := list.rank[i]; k > 0 {
		l.rank = &list.m.Ranking[k-1]
	}
	return l
}

// byWeight orders pairs: solid links, those that matter most first, then the
// required ones that fail, worst first, then the others as in Mesh.Pairs.
func byWeight(m *mesh.Mesh) []int32 {
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

// cutter is cutNames for the stations of a mesh, in a column of endWidth.
func cutter(m *mesh.Mesh) func(string) string {
	names := make([]string, len(m.Stations))
	for v := range m.Stations {
		names[v] = m.Stations[v].Station.Name
	}
	return cutNames(names, endWidth)
}

// poleNames turns indices of stations into names; never nil.
func poleNames(m *mesh.Mesh, poles []int) []string {
	names := make([]string, len(poles))
	for i, v := range poles {
		names[i] = m.Stations[v].Station.Name
	}
	return names
}

// meshWarnings are those of the plan file and of the check.
func meshWarnings(m *mesh.Mesh) []string {
	return append(append([]string(nil), m.Plan.Warnings...), m.Warnings...)
}
