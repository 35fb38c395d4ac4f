package mesh

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain/fault"
)

// Merge makes the Mesh of the parts of one plan, in any order: the same as one
// Check of the whole. The error lists every shard that is missing or given
// twice, every part of another plan, settings or terrain, and every part whose
// pairs are not those of its shard or have no verdict.
func Merge(ctx context.Context, parts ...*Part) (*Mesh, error) {
	if len(parts) == 0 {
		return nil, fault.Input("plan: merge: no parts given")
	}
	if err := allRead(parts); err != nil {
		return nil, err
	}
	first := parts[0]
	j, err := newJob(ctx, first.plan, first.Extent, first.Options)
	if err != nil {
		return nil, fmt.Errorf("plan: merge: part %s: %w", first.number(), err)
	}
	if err := j.belong(parts); err != nil {
		return nil, err
	}
	pairs, ground := make([]Pair, len(j.list)), make([]GroundAt, 0, len(j.stations))
	for _, p := range parts {
		opt := j.opt
		opt.Shard = p.Options.Shard
		from, to := opt.share(len(j.list))
		for i, at := range j.places(j.list[from:to]) {
			pairs[j.list[from+i].place] = p.Pairs[at]
		}
		ground = append(ground, p.Ground...)
	}
	return j.assemble(ctx, pairs, ground)
}

// allRead refuses parts that come neither from CheckPart nor from JSON.
func allRead(parts []*Part) error {
	var errs []error
	for i, p := range parts {
		if p == nil || p.plan == nil {
			errs = append(errs, fault.Input("plan: merge: part %d of those given holds no plan", i+1))
		}
	}
	return errors.Join(errs...)
}

func (p *Part) number() string { return fmt.Sprintf("%d of %d", p.Options.Shard, p.Options.Shards) }

// belong checks that the parts are all shards of this job, each once and whole.
func (j *job) belong(parts []*Part) error {
	var errs []error
	add := func(format string, args ...any) { errs = append(errs, fault.Input("plan: merge: "+format, args...)) }
	want, err := j.key(parts[0].Extent)
	if err != nil {
		return err
	}
	given := make([]int, j.opt.Shards+1)
	for i, p := range parts {
		n := p.Options.Shard
		switch {
		case p.Options.Shards != j.opt.Shards || n < 1 || n > j.opt.Shards:
			add("part %s beside one of %d shards", p.number(), j.opt.Shards)
			continue
		case p.Key != want && i == 0:
			add("part %s: its key does not fit its plan and settings: changed since, or by another version", p.number())
		case p.Key != want:
			add("part %s is of another plan, settings or terrain than part %s", p.number(), parts[0].number())
		case p.GroundHash != parts[0].GroundHash:
			add("part %s has seen other terrain than part %s: the ground under the same poles differs", p.number(),
				parts[0].number())
		case !j.whole(p):
			add("part %s does not hold the pairs and poles of its shard; compute it again", p.number())
		default:
			if err := p.limits(); err != nil {
				add("part %s: %w; compute it again", p.number(), err)
			}
		}
		given[n]++
	}
	for n := 1; n <= j.opt.Shards; n++ {
		switch {
		case given[n] == 0:
			add("part %d of %d is missing", n, j.opt.Shards)
		case given[n] > 1:
			add("part %d of %d is given %d times, allowed once", n, j.opt.Shards, given[n])
		}
	}
	return errors.Join(errs...)
}

// whole reports whether a part has exactly the pairs and poles of its shard, each
// pair judged: one without a verdict would count as if it held.
func (j *job) whole(p *Part) bool {
	opt := j.opt
	opt.Shard = p.Options.Shard
	from, to := opt.share(len(j.list))
	groundFrom, groundTo := opt.share(len(j.stations))
	if len(p.Pairs) != to-from || len(p.Ground) != groundTo-groundFrom {
		return false
	}
	list := j.list[from:to]
	for i, at := range j.places(list) {
		c, p := list[i], &p.Pairs[at]
		if p.A != c.a || p.B != c.b || p.Link != c.link || p.Required != (c.link >= 0 && j.p.Links[c.link].Required) {
			return false
		}
		if p.Verdict < linkbudget.Reaches || p.Verdict > linkbudget.Unknown {
			return false
		}
	}
	return slices.EqualFunc(j.shareOfPoles(opt), p.Ground, func(i int, g GroundAt) bool { return g.Station == i })
}
