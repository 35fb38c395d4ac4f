package plan

import (
	"context"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// chunk is how many pairs a worker takes at a time: few enough that all end
// together, near each other so that they meet in the same tiles.
const chunk = 32

// eachChunk calls f for parts of 0 to n-1 on the workers, in rising order of
// their beginnings, until ctx ends or one fails. Each worker has an f of its own.
func eachChunk(ctx context.Context, workers, n int, f func() func(ctx context.Context, from, to int) error) error {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var next atomic.Int64
	group, ctx := errgroup.WithContext(ctx)
	for range min(workers, n/chunk+1) {
		group.Go(func() error {
			f := f()
			for {
				to := int(next.Add(chunk))
				from := to - chunk
				if from >= n {
					return nil
				}
				if err := f(ctx, from, min(to, n)); err != nil {
					return err
				}
			}
		})
	}
	return group.Wait()
}

// examine evaluates the pairs of the shard. Each result goes to its own place,
// so order and bytes do not depend on the workers.
func (j *job) examine(ctx context.Context, dem terrain.DEM) ([]Pair, error) {
	from, to := j.opt.share(len(j.list))
	list := j.list[from:to]
	out, place := make([]Pair, len(list)), j.places(list)
	worst := make([]PairClearance, len(list))
	var report sync.Mutex
	done := 0
	err := eachChunk(ctx, j.opt.Workers, len(list), func() func(ctx context.Context, from, to int) error {
		x, err := newExaminer(j.opt.Settings.Environment) // its memory serves the worker to the end
		return func(ctx context.Context, from, to int) error {
			if err != nil {
				return err
			}
			for i := from; i < to; i++ {
				if err := ctx.Err(); err != nil {
					return err
				}
				c := list[i]
				p := &out[place[i]]
				if j.known.take(p, c) {
					continue
				}
				p.Worst = &worst[place[i]]
				if err := j.pair(p, c, dem, x); err != nil {
					return fmt.Errorf("link %q to %q: %w", j.stations[c.a].Name, j.stations[c.b].Name, err)
				}
			}
			if j.opt.Progress != nil {
				report.Lock()
				defer report.Unlock()
				done += to - from
				j.opt.Progress(done, len(list))
			}
			return nil
		}
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// places are where the pairs of the list come to stand in the order of
// Mesh.Pairs.
func (j *job) places(list []candidate) []int32 {
	rank := make([]int32, len(j.list)) // of a pair of the list, by its place among all
	for _, c := range list {
		rank[c.place] = 1
	}
	var before int32
	for i, here := range rank {
		rank[i] = before
		before += here
	}
	out := make([]int32, len(list))
	for i, c := range list {
		out[i] = rank[c.place]
	}
	return out
}

// examiner is the memory in which one pair after the other is sampled and
// evaluated.
type examiner struct {
	*linkbudget.Evaluator
	env     linkbudget.Environment
	profile terrain.Profile
	result  linkbudget.Result
}

func newExaminer(env linkbudget.Environment) (*examiner, error) {
	e, err := linkbudget.NewEvaluator(env)
	return &examiner{Evaluator: e, env: env}, err
}

// pair examines one pair and keeps its figures. Worst of out is where to put
// the least clearance.
func (j *job) pair(out *Pair, c candidate, dem terrain.DEM, x *examiner) error {
	link := (*Link)(nil)
	*out = Pair{A: int(c.a), B: int(c.b), Link: int(c.link), Worst: out.Worst}
	if c.link >= 0 {
		link = &j.p.Links[c.link]
		out.Required = link.Required
	}
	env := j.opt.Settings.environment(link)
	if env != x.env { // a link with settings of its own
		var err error
		if x, err = newExaminer(env); err != nil {
			return err
		}
	}
	a, b, profile, r := &j.stations[c.a], &j.stations[c.b], &x.profile, &x.result
	err := profile.Sample(dem, j.p.Stations[c.a].At, j.p.Stations[c.b].At, j.opt.Settings.Profile)
	if err != nil {
		return err
	}
	if err := x.Evaluate(r, profile, a, b); err != nil {
		return err
	}
	out.keep(r)
	if r.Verdict != linkbudget.Unknown {
		if out.Delivery, err = x.Delivery(r); err != nil {
			return err
		}
	}
	if link == nil {
		return nil
	}
	out.Reasons = r.Reasons()
	check := PathCheck{Result: *r}
	if check.RulesA, err = j.opt.rules(*a, env); err != nil {
		return err
	}
	if check.RulesB, err = j.opt.rules(*b, env); err != nil {
		return err
	}
	out.BeyondRules = check.BeyondRules()
	if j.opt.Advice && (r.Verdict == linkbudget.Marginal || r.Verdict == linkbudget.Short) {
		counsel, err := linkbudget.Advise(*profile, *a, *b, env, j.opt.limits(check, env))
		out.Counsel = &counsel
		return err
	}
	return nil
}
