package mesh

import (
	"context"
	"errors"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// job is a check whose input is in order: everything but the terrain.
type job struct {
	p        *plan.Plan
	opt      Options // defaults filled in
	stations []linkbudget.Station
	at       []orb.Point // of the stations, near each other in memory
	list     []candidate // all shards, in the order of work
	cost     Cost
	beyond   *CostError // why it may not begin, nil if it may
	known    *known     // pairs of an earlier check, nil without
}

// newJob prepares a check. The error lists every fault of the input at once, or
// is a *CostError, with which the job is there but for its list, or that of ctx.
func newJob(ctx context.Context, p *plan.Plan, extent terrain.Extent, opt Options) (*job, error) {
	j := &job{p: p, opt: opt.withDefaults()}
	err := j.opt.validate(p)
	if !(extent.StepLonDeg > 0) || !(extent.StepLatDeg > 0) {
		err = errors.Join(err, fault.Input("plan: the terrain states no post spacing"))
	}
	if err != nil {
		return nil, err
	}
	j.stations, j.at = make([]linkbudget.Station, len(p.Stations)), positions(p)
	for i := range p.Stations {
		j.stations[i] = j.opt.Settings.Fill(&p.Stations[i])
	}
	if err := j.faults(); err != nil {
		return nil, err
	}
	list, hopeless, complete, err := j.opt.candidates(ctx, p, j.stations)
	if err != nil {
		return nil, err
	}
	stepM := spacingM(p, extent, j.opt.Settings.Profile)
	if complete {
		j.list, j.cost = list, costOf(p, list, hopeless, stepM)
	} else {
		j.cost = j.opt.sampledCost(p, j.stations, stepM)
	}
	pairs, points := int64(j.opt.MaxPairs)*int64(j.opt.Shards), j.opt.MaxPoints*float64(j.opt.Shards)
	if !complete || j.cost.Pairs > pairs || j.cost.ProfilePoints > points {
		j.beyond = &CostError{Cost: j.cost, RangeM: j.opt.RangeM, Shards: j.opt.Shards, MaxPairs: pairs, MaxPoints: points}
		return j, j.beyond
	}
	return j, nil
}

// positions are where the stations of a plan stand.
func positions(p *plan.Plan) []orb.Point {
	at := make([]orb.Point, len(p.Stations))
	for i := range at {
		at[i] = p.Stations[i].At
	}
	return at
}

// faults lists what is wrong with stations once the settings are filled in, and
// with links that have radio settings of their own: each once.
func (j *job) faults() error {
	var errs []error
	index := make(map[string]int, len(j.stations))
	for i, st := range j.stations {
		index[st.Name] = i
		errs = append(errs, st.Validate(), j.opt.Settings.Environment.Contradictions(st))
	}
	for i := range j.p.Links {
		l := &j.p.Links[i]
		env := j.opt.Settings.LinkEnvironment(l)
		if env == j.opt.Settings.Environment {
			continue
		}
		err := env.Validate()
		for _, name := range []string{l.From, l.To} {
			if k, ok := index[name]; ok && err == nil {
				err = env.Contradictions(j.stations[k])
			}
		}
		if err != nil {
			errs = append(errs, fmt.Errorf("link %q to %q: %w", l.From, l.To, err))
		}
	}
	return errors.Join(errs...)
}

// share returns which of n things, in order, belong to the shard: from, to.
// Sizes differ by at most one.
func (o Options) share(n int) (from, to int) {
	return int(int64(n) * int64(o.Shard-1) / int64(o.Shards)), int(int64(n) * int64(o.Shard) / int64(o.Shards))
}
