package mesh

import (
	"context"
	"slices"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
)

// candidate is a pair to examine. Both stations and the link are indices, the
// link -1 where nobody asked by name.
type candidate struct {
	a, b, link int32
	place      int32 // among all pairs in the order of Mesh.Pairs
}

// candidates lists the pairs in the order of work: by the cell of their middle,
// so that those that need the same tiles of terrain follow each other whatever
// the order of the plan. complete is false where there were too many. The error
// is a fault of the links or that of ctx.
func (o Options) candidates(ctx context.Context, p *plan.Plan, stations []linkbudget.Station) (list []candidate,
	hopeless int64, complete bool, err error) {
	if list, err = wantedPairs(p); err != nil {
		return nil, 0, false, err
	}
	s := o.newSearch(p, stations)
	s.limit = int64(o.MaxPairs) * int64(o.Shards)
	if list, complete, err = s.all(ctx, list); err != nil {
		return nil, 0, false, err
	}
	return inOrderOfWork(p, list), s.hopeless, complete, nil
}

// inOrderOfWork sorts pairs that are in the order of Mesh.Pairs.
func inOrderOfWork(p *plan.Plan, list []candidate) []candidate {
	at := positions(p)
	keys := make([]uint64, len(list)) // the cell of its middle, then the place
	for i := range list {
		c := &list[i]
		c.place = int32(i)
		keys[i] = uint64(cellOf(at[c.a], at[c.b]))<<32 | uint64(i)
	}
	slices.Sort(keys)
	sorted := make([]candidate, len(list))
	from := 0 // first of this cell
	for i, key := range keys {
		sorted[i] = list[uint32(key)]
		if i+1 == len(keys) || keys[i+1]>>32 != key>>32 {
			slices.SortFunc(sorted[from:i+1], byStations)
			from = i + 1
		}
	}
	return sorted
}

func byStations(x, y candidate) int {
	if x.a != y.a {
		return int(x.a) - int(y.a)
	}
	return int(x.b) - int(y.b)
}

// wantedPairs are the links of the plan, in its order.
func wantedPairs(p *plan.Plan) ([]candidate, error) {
	ends, err := p.Ends(minPathM)
	list := make([]candidate, len(ends))
	for i, e := range ends {
		list[i] = candidate{a: e[0], b: e[1], link: int32(i)}
	}
	return list, err
}

// cellOf numbers the cell of 1/182 degree in which the middle between two
// places lies along the Z-order curve (Morton 1966): cells near each other in
// number are near each other on the ground, at every scale.
func cellOf(a, b [2]float64) uint32 {
	x := uint32((a[0]+b[0])/2*65535/360 + 98304) // longitudes within ±540
	y := uint32(((a[1]+b[1])/2 + 90) * 65535 / 180)
	return spread(x&0xffff) | spread(y)<<1
}

// spread puts a zero before each of the 16 bits.
func spread(x uint32) uint32 {
	x = (x | x<<8) & 0x00ff00ff
	x = (x | x<<4) & 0x0f0f0f0f
	x = (x | x<<2) & 0x33333333
	return (x | x<<1) & 0x55555555
}
