package plan

import (
	"cmp"
	"slices"
)

// roleOrder sorts roles, most important first.
var roleOrder = map[Role]int{RoleBridge: 0, RoleNarrow: 1, RoleFaster: 2, RoleRedundant: 3}

// rankLinks fills Ranking and Bridges.
func (m *Mesh) rankLinks(losses *lossFinder, solid pairGraph, ways *pairRoutes) {
	m.Ranking = make([]LinkRank, len(solid.pair))
	for e, i := range solid.pair {
		r := &m.Ranking[e]
		r.Pair = i
		r.JoinedPairs, r.RedundantPairs = losses.ofEdge(int32(e))
	}
	if ways != nil {
		m.routeLosses(ways)
	}
	for e := range m.Ranking {
		m.Ranking[e].role()
	}
	slices.SortStableFunc(m.Ranking, func(x, y LinkRank) int {
		return cmp.Or(roleOrder[x.Role]-roleOrder[y.Role], y.JoinedPairs-x.JoinedPairs,
			y.RedundantPairs-x.RedundantPairs, cmp.Compare(y.RouteLoss, x.RouteLoss))
	})
	for _, r := range m.Ranking {
		if r.Role == RoleBridge {
			m.Bridges = append(m.Bridges, r.Pair)
		}
	}
	slices.Sort(m.Bridges)
}

// routeLosses takes over what the best routes lose; Ranking is still in the
// order of Pairs.
func (m *Mesh) routeLosses(ways *pairRoutes) {
	for e, loss := range ways.lossOf() {
		k, found := slices.BinarySearchFunc(m.Ranking, ways.pair[e], func(r LinkRank, pair int) int { return r.Pair - pair })
		if found {
			m.Ranking[k].RouteLoss = loss
		}
	}
}

// leastRouteLoss is rounding, not a loss.
const leastRouteLoss = 1e-9

func (r *LinkRank) role() {
	switch {
	case r.JoinedPairs > 0:
		r.Role = RoleBridge
	case r.RedundantPairs > 0:
		r.Role = RoleNarrow
	case r.RouteLoss > leastRouteLoss:
		r.Role = RoleFaster
	default:
		r.Role = RoleRedundant
	}
}
