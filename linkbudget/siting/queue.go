package siting

import (
	"cmp"
	"context"
	"math"
	"slices"

	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// batch is how many places are computed at a time, whatever the number of workers, so that the
// answer does not depend on it; fewer where a sky is looked at with care.
const batch, skyBatch = 32, 8

// stage is how far a cell is computed.
type stage uint8

const (
	swept    stage = iota // its bound is that of the sweeps
	glanced               // with the sun of a glance, where the rank asks for it
	walked                // its paths are computed, the sun is still that of a glance
	computed              // all that its key needs
)

// ranked is a cell in a queue.
type ranked struct {
	cell  int // index into field.cells
	key   key
	stage stage
}

func (r ranked) compare(other ranked) int {
	return cmp.Or(r.key.compare(other.key), cmp.Compare(r.cell, other.cell))
}

// queue finds the best places with the fewest computed: the cell that could be best is computed
// next, and a computed place is taken when no other cell could beat it.
type queue struct {
	f       *field
	o       Options
	w       wish
	dem     terrain.DEM
	open    []ranked // swept, the best bound first
	ahead   []ranked // of higher stages, the best bound or key first
	passed  []ranked // not computed for Options.MostCells
	judged  map[int]judged
	count   int // of cells whose paths were computed
	most    int // that may have to be
	glances int // how many more there may be
	kept    []judged
}

// glancesPerCell is how many cells may be glanced at for each that may be computed: a glance costs a
// thirtieth.
const glancesPerCell = 10

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
		q.open = append(q.open, ranked{i, f.atBest(i, w, o, 100, road, surety), swept})
	}
	slices.SortFunc(q.open, ranked.compare)
	q.most = min(len(q.open), o.MostCells)
	if o.Rank == BySun {
		q.glances = glancesPerCell * o.MostCells
	}
	return q
}

// run keeps the best that lie apart.
func (q *queue) run(ctx context.Context) error {
	for len(q.kept) < q.o.Top {
		list := q.best()
		if len(*list) == 0 {
			return nil
		}
		r := (*list)[0]
		switch {
		case !q.apart(r):
			*list = (*list)[1:]
		case r.stage == computed:
			q.kept, *list = append(q.kept, q.judged[r.cell]), (*list)[1:]
		case r.stage < walked && q.count == q.o.MostCells:
			q.passed, *list = append(q.passed, r), (*list)[1:]
		default:
			if err := q.advance(ctx, list); err != nil {
				return err
			}
		}
	}
	return nil
}

// best is the list that the best cell is in.
func (q *queue) best() *[]ranked {
	if len(q.open) == 0 || len(q.ahead) > 0 && q.ahead[0].compare(q.open[0]) < 0 {
		return &q.ahead
	}
	return &q.open
}

// advance takes the first cells of a list that want the same step, and that no computed one beats,
// a step further.
func (q *queue) advance(ctx context.Context, list *[]ranked) error {
	want := q.step((*list)[0])
	most := batch
	if want == computed || want == walked && q.o.Rank == BySun {
		most = skyBatch
	}
	switch want {
	case glanced:
		most = min(most, q.glances)
	case walked:
		most = min(most, q.o.MostCells-q.count)
	}
	beaten := func(ranked) bool { return false }
	if k := slices.IndexFunc(q.ahead, func(r ranked) bool { return r.stage == computed }); k >= 0 {
		known := q.ahead[k]
		beaten = func(r ranked) bool { return r.compare(known) > 0 }
	}
	var next []ranked
	for len(*list) > 0 && len(next) < most && q.step((*list)[0]) == want && !beaten((*list)[0]) {
		if q.apart((*list)[0]) {
			next = append(next, (*list)[0])
		}
		*list = (*list)[1:]
	}
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(q.o.Workers)
	found := make([]judged, len(next))
	for i := range next {
		found[i] = q.judged[next[i].cell]
		group.Go(fault.Guarded(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			return q.take(ctx, want, &next[i], &found[i])
		}))
	}
	if err := group.Wait(); err != nil {
		return err
	}
	for i, r := range next {
		if want == walked {
			if q.count++; q.o.MaxRoadM > 0 && found[i].roadM > q.o.MaxRoadM {
				continue
			}
		}
		q.judged[r.cell] = found[i]
		q.ahead = append(q.ahead, r)
	}
	if want == glanced {
		q.glances -= len(next)
	}
	slices.SortFunc(q.ahead, ranked.compare)
	if q.o.Progress != nil {
		q.o.Progress(q.count, q.most)
	}
	return nil
}

// step is what comes next for a cell.
func (q *queue) step(r ranked) stage {
	if r.stage == swept && q.glances > 0 && r.key[0] == servesAsked {
		return glanced
	}
	return max(r.stage+1, walked)
}

// take takes a cell to a stage, and what is known of it.
func (q *queue) take(ctx context.Context, to stage, r *ranked, j *judged) error {
	at, asked := q.f.at(r.cell), q.o.Candidate.HeightM
	switch to {
	case glanced:
		sky, err := q.o.Sun.look(ctx, q.dem, at, asked, glance, nil)
		if err != nil {
			return err
		}
		j.sunPercent = math.Round(100 * min(sky.Share()+glanceSlack, 1))
		surety := make([]float64, len(q.f.neighbours))
		r.key = q.f.atBest(r.cell, q.w, q.o, j.sunPercent, leastRoadM(at, q.o.Roads), surety)
	case walked:
		most := 100.0
		if r.stage == glanced {
			most = j.sunPercent
		}
		var err error
		if *j, err = q.o.judge(q.dem, at, q.w, q.f.neighbours, most); err != nil {
			return err
		}
		if r.key = j.key; q.o.Rank != BySun || j.key[0] != servesAsked {
			to = computed
		}
	case computed:
		sky, err := q.o.Sun.look(ctx, q.dem, at, asked, share, nil)
		if err != nil {
			return err
		}
		j.key[1], j.skyline = sky.Percent(), &sky.Skyline
		r.key = j.key
	}
	r.stage = to
	return nil
}

// apart reports whether a cell is far enough from all kept.
func (q *queue) apart(r ranked) bool {
	at := q.f.at(r.cell)
	return !slices.ContainsFunc(q.kept, func(k judged) bool { return terrain.Inverse(at, k.at).DistM < q.o.SeparationM })
}

// left counts the cells that were not computed though they might be better than
// the last kept.
func (q *queue) left() (n int) {
	for _, list := range [][]ranked{q.passed, q.open, q.ahead} {
		for _, r := range list {
			if len(q.kept) == q.o.Top && r.key.compare(q.kept[len(q.kept)-1].key) > 0 {
				break
			}
			if r.stage != computed && q.apart(r) {
				n++
			}
		}
	}
	return n
}
