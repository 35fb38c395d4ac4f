package plan

import (
	"context"

	"github.com/polereach/polereach/terrain"
)

// Check examines the links of a plan and the mesh they form. Without any
// LineString, or with AllPairs, every pair within the range is examined that
// could close through free space.
//
// The answer depends neither on the workers nor on the order in which pairs are
// done. Errors are every fault of the options and of the stations with the
// settings filled in, at once; a *CostError; that of ctx, within the time one
// link takes; or terrain that could not be read.
func Check(ctx context.Context, p *Plan, dem terrain.DEM, opt CheckOptions) (*Mesh, error) {
	opt.Shard, opt.Shards = 1, 1
	j, err := newJob(p, dem.Extent(), opt)
	if err != nil {
		return nil, err
	}
	pairs, ground, err := j.run(ctx, dem)
	if err != nil {
		return nil, err
	}
	return j.assemble(ctx, pairs, ground)
}

// run does the shard's share of the work.
func (j *job) run(ctx context.Context, dem terrain.DEM) ([]Pair, []GroundAt, error) {
	ground, err := j.ground(ctx, dem)
	if err != nil {
		return nil, nil, err
	}
	pairs, err := j.examine(ctx, dem)
	return pairs, ground, err
}

// CheckPart examines one shard of the pairs: an even part of them, in the order
// of the ground. Errors are those of Check.
func CheckPart(ctx context.Context, p *Plan, dem terrain.DEM, opt CheckOptions) (*Part, error) {
	j, err := newJob(p, dem.Extent(), opt)
	if err != nil {
		return nil, err
	}
	part := &Part{Schema: PartSchema, Options: j.opt, Extent: dem.Extent(), plan: p}
	part.Options.Workers, part.Options.Progress = 0, nil
	if part.Key, err = j.key(part.Extent); err != nil {
		return nil, err
	}
	part.Pairs, part.Ground, err = j.run(ctx, dem)
	if err != nil {
		return nil, err
	}
	return part, nil
}
