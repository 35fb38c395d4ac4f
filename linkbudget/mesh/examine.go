package mesh

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
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
		group.Go(fault.Guarded(func() error {
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
		}))
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
				c := &list[i]
				p := &out[place[i]]
				if j.known.take(p, c) {
					continue
				}
				p.Worst = &worst[place[i]]
				if err := j.pair(ctx, p, c, dem, x); err != nil {
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
	out := make([]int32, len(list))
	if len(list) == len(j.list) {
		for i := range list {
			out[i] = list[i].place
		}
		return out
	}
	rank := make([]int32, len(j.list)) // of a pair of the list, by its place among all
	for _, c := range list {
		rank[c.place] = 1
	}
	var before int32
	for i, here := range rank {
		rank[i] = before
		before += here
	}
	for i, c := range list {
		out[i] = rank[c.place]
	}
	return out
}

// examiner is the memory in which one pair after the other is sampled and
// evaluated.
type examiner struct {
	*linkbudget.Evaluator
	env      linkbudget.Environment
	prepared []linkbudget.PreparedStation // by index of the station, for the stations that are ready
	ready    []bool
	brief    linkbudget.Brief
}

func newExaminer(env linkbudget.Environment) (*examiner, error) {
	e, err := linkbudget.NewEvaluator(env)
	return &examiner{Evaluator: e, env: env}, err
}

// station prepares a station when it is first met.
func (x *examiner) station(j *job, i int32) (*linkbudget.PreparedStation, error) {
	if x.ready == nil {
		x.prepared, x.ready = make([]linkbudget.PreparedStation, len(j.stations)), make([]bool, len(j.stations))
	}
	if !x.ready[i] {
		if err := x.Prepare(&x.prepared[i], &j.stations[i]); err != nil {
			return nil, err
		}
		x.ready[i] = true
	}
	return &x.prepared[i], nil
}

// pair examines one pair and keeps its figures in out, which is empty but for Worst,
// where to put the least clearance.
func (j *job) pair(ctx context.Context, out *Pair, c *candidate, dem terrain.DEM, x *examiner) error {
	out.A, out.B, out.Link = c.a, c.b, c.link
	if c.link >= 0 {
		link := &j.p.Links[c.link]
		out.Required = link.Required
		if env := j.opt.Settings.LinkEnvironment(link); env != x.env {
			return j.ownPair(ctx, out, c, dem, env)
		}
	}
	a, err := x.station(j, c.a)
	if err != nil {
		return err
	}
	b, err := x.station(j, c.b)
	if err != nil {
		return err
	}
	return j.survey(ctx, out, c, dem, x, a, b)
}

// ownPair is pair for a link with settings of its own.
func (j *job) ownPair(ctx context.Context, out *Pair, c *candidate, dem terrain.DEM, env linkbudget.Environment) error {
	x, err := newExaminer(env)
	if err != nil {
		return err
	}
	var a, b linkbudget.PreparedStation
	if err := errors.Join(x.Prepare(&a, &j.stations[c.a]), x.Prepare(&b, &j.stations[c.b])); err != nil {
		return err
	}
	return j.survey(ctx, out, c, dem, x, &a, &b)
}

func (j *job) survey(ctx context.Context, out *Pair, c *candidate, dem terrain.DEM, x *examiner,
	a, b *linkbudget.PreparedStation) error {
	err := x.Survey(&x.brief, dem, j.at[c.a], j.at[c.b], j.opt.Settings.Profile, a, b)
	if err != nil {
		return err
	}
	out.keep(&x.brief)
	if j.opt.PacketsPerHour > 0 {
		x.rise(out)
	}
	if c.link < 0 {
		return nil
	}
	return j.explain(ctx, out, c, dem, x)
}

// explain adds what is kept of a wanted link, just surveyed, alone.
func (j *job) explain(ctx context.Context, out *Pair, c *candidate, dem terrain.DEM, x *examiner) error {
	a, b, r := &j.stations[c.a], &j.stations[c.b], x.Explain(&x.brief)
	if out.PairNotes == nil {
		out.PairNotes = &PairNotes{}
	}
	out.PairNotes.Reasons, out.TimePercentHeld = r.Reasons(), r.TimePercentHeld
	check := PathCheck{Result: r}
	var err error
	if check.RulesA, err = j.opt.rules(*a, x.env); err != nil {
		return err
	}
	if check.RulesB, err = j.opt.rules(*b, x.env); err != nil {
		return err
	}
	out.BeyondRules = check.BeyondRules()
	if j.opt.Advice && (r.Verdict == linkbudget.Marginal || r.Verdict == linkbudget.Short) {
		limits := j.opt.limits(x.env)
		limits.Nearby = nearby(ctx, dem, *a, *b, j.at[c.a], j.at[c.b], j.opt.Settings.Profile)
		counsel, err := linkbudget.Advise(*x.Profile(), *a, *b, x.env, limits)
		out.PairNotes.Counsel = &counsel
		return err
	}
	return nil
}
