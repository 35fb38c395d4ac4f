package plan

import (
	"cmp"
	"context"
	"slices"
)

// roleOrder sorts roles, most important first.
var roleOrder = map[Role]int{RoleBridge: 0, RoleNarrow: 1, RoleFaster: 2, RoleRedundant: 3}

// rankLinks fills Ranking and Bridges.
func (m *Mesh) rankLinks(ctx context.Context, l *layout, solid pairGraph, ways *pairRoutes, workers int) error {
	m.Ranking = make([]LinkRank, len(solid.pair))
	at := make(map[[2]int32]int, len(solid.pair)) // ends -> edge
	for e, i := range solid.pair {
		m.Ranking[e] = LinkRank{Pair: i}
		at[solid.ends[e]] = e
	}
	// Only edges of the certificate can be more than redundant.
	err := eachChunk(ctx, workers, len(l.sparse.ends), func(ctx context.Context, from, to int) error {
		x := newLossFinder(l, nil)
		for e := from; e < to; e++ {
			if err := ctx.Err(); err != nil {
				return err
			}
			bridge := len(l.block[l.of[e]]) == 2
			if !bridge && len(m.Stations) > maxFailurePoles {
				continue
			}
			r := &m.Ranking[at[l.sparse.ends[e]]]
			r.JoinedPairs, r.RedundantPairs = x.ofEdge(int32(e))
		}
		return nil
	})
	if err != nil {
		return err
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
	return nil
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
