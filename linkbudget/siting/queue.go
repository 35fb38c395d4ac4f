package siting

import (
	"cmp"
	"context"
	"slices"

	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// batch is how many places are computed at a time, whatever the number of
// workers, so that the answer does not depend on it.
const batch = 32

// ranked is a cell in a queue.
type ranked struct {
	cell int // index into field.cells
	key  key
}

func (r ranked) compare(other ranked) int {
	return cmp.Or(r.key.compare(other.key), cmp.Compare(r.cell, other.cell))
}

// queue finds the best places with the fewest computed: the cell that could be best is computed
// next, and a computed place is taken when no other cell could beat it.
type queue struct {
	f        *field
	o        Options
	w        wish
	dem      terrain.DEM
	open     []ranked // not computed, the best bound first
	computed []ranked // sorted by their exact keys
	judged   map[int]judged
	count    int // computed in all
	most     int // that may have to be
	kept     []judged
}

func newQueue(dem terrain.DEM, f *field, o Options, w wish) *queue {
	q := &queue{f: f, o: o, w: w, dem: dem, judged: map[int]judged{}}
	surety := make([]float64, len(f.neighbours))
	for i := range f.cells {
		if f.unjudged(i) {
			continue
		}
		road := leastRoadM(f.at(i), o.Roads)
		if o.MaxRoadM > 0 && road > o.MaxRoadM {
			continue
		}
		q.open = append(q.open, ranked{i, f.atBest(i, w, o, road, surety)})
	}
	slices.SortFunc(q.open, ranked.compare)
	q.most = min(len(q.open), o.MostCells)
	return q
}

// run keeps the best that lie apart.
func (q *queue) run(ctx context.Context) error {
	for len(q.kept) < q.o.Top {
		switch {
		case len(q.open) > 0 && (len(q.computed) == 0 || q.open[0].key.compare(q.computed[0].key) <= 0) &&
			q.count < q.o.MostCells:
			if err := q.compute(ctx); err != nil {
				return err
			}
		case len(q.computed) > 0:
			if j := q.judged[q.computed[0].cell]; q.apart(j) {
				q.kept = append(q.kept, j)
			}
			q.computed = q.computed[1:]
		default:
			return nil
		}
	}
	return nil
}

// apart reports whether a place is far enough from all kept.
func (q *queue) apart(j judged) bool {
	return !slices.ContainsFunc(q.kept, func(k judged) bool { return terrain.Inverse(j.at, k.at).DistM < q.o.SeparationM })
}

// compute takes the next cells out of open.
func (q *queue) compute(ctx context.Context) error {
	var next []int
	for len(next) < min(batch, q.o.MostCells-q.count) && len(q.open) > 0 {
		cell := q.open[0].cell
		q.open = q.open[1:]
		if q.apart(judged{at: q.f.at(cell)}) {
			next = append(next, cell)
		}
	}
	found := make([]judged, len(next))
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(q.o.Workers)
	for i, cell := range next {
		group.Go(fault.Guarded(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			var err error
			found[i], err = q.o.judge(ctx, q.dem, q.f.at(cell), q.w, q.f.neighbours)
			return err
		}))
	}
	if err := group.Wait(); err != nil {
		return err
	}
	for i, cell := range next {
		q.count++
		if q.o.MaxRoadM > 0 && found[i].roadM > q.o.MaxRoadM {
			continue
		}
		q.judged[cell] = found[i]
		q.computed = append(q.computed, ranked{cell, found[i].key})
	}
	slices.SortFunc(q.computed, ranked.compare)
	if q.o.Progress != nil {
		q.o.Progress(q.count, q.most)
	}
	return nil
}

// left counts the cells that were not computed though they might be better than
// the last kept.
func (q *queue) left() int {
	if len(q.kept) == 0 {
		return len(q.open)
	}
	last, n := q.kept[len(q.kept)-1], 0
	for _, r := range q.open {
		if len(q.kept) == q.o.Top && r.key.compare(last.key) > 0 {
			break
		}
		if q.apart(judged{at: q.f.at(r.cell)}) {
			n++
		}
	}
	return n
}
