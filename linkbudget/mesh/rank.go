package mesh

import (
	"cmp"
	"slices"

	"github.com/polereach/polereach/linkbudget/mesh/internal/graph"
)

// roleOrder sorts roles, most important first.
var roleOrder = map[Role]int{RoleBridge: 0, RoleNarrow: 1, RoleFaster: 2, RoleRedundant: 3}

// rankLinks fills Ranking and Bridges.
func (m *Mesh) rankLinks(lost *graph.Losses, solid pairGraph, ways *graph.Routes) {
	m.Ranking = make([]LinkRank, len(solid.pair))
	for e, i := range solid.pair {
		r := &m.Ranking[e]
		r.Pair = i
		r.JoinedPairs, r.RedundantPairs = lost.OfEdge(int32(e))
	}
	if ways != nil {
		for e, thousandths := range ways.Detours() {
			m.Ranking[e].Detour = thousandths / 1000
		}
	}
	for e := range m.Ranking {
		m.Ranking[e].role()
	}
	slices.SortStableFunc(m.Ranking, func(x, y LinkRank) int {
		return cmp.Or(roleOrder[x.Role]-roleOrder[y.Role], y.JoinedPairs-x.JoinedPairs,
			y.RedundantPairs-x.RedundantPairs, cmp.Compare(y.Detour, x.Detour))
	})
	for _, r := range m.Ranking {
		if r.Role == RoleBridge {
			m.Bridges = append(m.Bridges, r.Pair)
		}
	}
	slices.Sort(m.Bridges)
}

func (r *LinkRank) role() {
	switch {
	case r.JoinedPairs > 0:
		r.Role = RoleBridge
	case r.RedundantPairs > 0:
		r.Role = RoleNarrow
	case r.Detour > 0:
		r.Role = RoleFaster
	default:
		r.Role = RoleRedundant
	}
}
