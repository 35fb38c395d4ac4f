package mesh

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// shareOfPoles are the poles whose ground the shard looks up, sorted: neighbours
// on the ground go to one shard.
func (j *job) shareOfPoles(opt Options) []int {
	order := make([]int, len(j.stations))
	for i := range order {
		order[i] = i
	}
	cell := func(i int) uint32 { return cellOf(j.p.Stations[i].At, j.p.Stations[i].At) }
	slices.SortFunc(order, func(x, y int) int { return cmp.Or(cmp.Compare(cell(x), cell(y)), x-y) })
	from, to := opt.share(len(order))
	order = order[from:to]
	slices.Sort(order)
	return order
}

// ground looks up the ground under the shard's share of the poles, sorted.
func (j *job) ground(ctx context.Context, dem terrain.DEM) ([]GroundAt, error) {
	poles := j.shareOfPoles(j.opt)
	slices.SortStableFunc(poles, func(x, y int) int {
		return cmp.Compare(cellOf(j.p.Stations[x].At, j.p.Stations[x].At), cellOf(j.p.Stations[y].At, j.p.Stations[y].At))
	})
	out := make([]GroundAt, 0, len(poles))
	const batch = 256
	at, heightM, flag := make([]orb.Point, batch), make([]float64, batch), make([]terrain.Flag, batch)
	for len(poles) > 0 {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		n := min(batch, len(poles))
		for k, i := range poles[:n] {
			at[k] = j.p.Stations[i].At
		}
		if err := terrain.HeightsOf(dem, at[:n], heightM[:n], flag[:n]); err != nil {
			return nil, fmt.Errorf("ground at the poles: %w", err)
		}
		for k, i := range poles[:n] {
			out = append(out, GroundAt{i, heightM[k], flag[k]})
		}
		poles = poles[n:]
	}
	slices.SortFunc(out, func(x, y GroundAt) int { return x.Station - y.Station })
	return out, nil
}

// sampledGround is under how many poles every part looks, to tell terrain apart.
const sampledGround = 256
