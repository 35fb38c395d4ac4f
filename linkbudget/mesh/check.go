package mesh

import (
	"context"
	"errors"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Check examines the links of a plan, every other pair within the range but those
// that fall short by 20 dB and more both ways even through free space, and the mesh
// they form: links that are drawn are wanted, those that are not exist all the same. What the plan's
// Polygons say stands on the ground is laid on the terrain.
//
// The answer depends neither on the workers nor on the order in which pairs are
// done. Errors are every fault of the plan, the options and of the stations with the
// settings filled in, at once ([fault.ErrInput], see [plan.Plan.Validate]); a *CostError;
// that of ctx, within the time one link takes; terrain that could not be read
// ([terrain.ErrRead]); or a panic of dem or Options.Progress in a worker (*fault.PanicError).
func Check(ctx context.Context, p *plan.Plan, dem terrain.DEM, opt Options) (*Mesh, error) {
	opt.Shard, opt.Shards = 1, 1
	j, err := Prepare(ctx, p, dem, opt)
	if err != nil {
		return nil, err
	}
	return j.Check(ctx)
}

// Prepared is a check that is ready to begin: its input is in order, its pairs
// are found. It can be run more than once, and from several goroutines.
type Prepared struct {
	job *job
	dem terrain.DEM
}

// Prepare gets a check ready without reading heights. Errors are those of Check
// that can be told before; with a *CostError Cost can be asked nevertheless.
func Prepare(ctx context.Context, p *plan.Plan, dem terrain.DEM, opt Options) (*Prepared, error) {
	if p == nil || dem == nil {
		return nil, errNothing(p, dem)
	}
	dem, err := p.OnTerrain(dem)
	if err != nil {
		return nil, err
	}
	if _, cover := terrain.GroundAndCover(dem); cover != nil {
		opt.Covered = true
	}
	opt.Settings.Cover = p.CoverText(opt.Settings.Cover)
	j, err := newJob(ctx, p, dem.Extent(), opt)
	if j == nil {
		return nil, err
	}
	return &Prepared{j, dem}, err
}

// Cost is what the check takes, over all shards.
func (p *Prepared) Cost() Cost {
	if p.job == nil {
		return Cost{}
	}
	return p.job.cost
}

// errNothing says what was not given.
func errNothing(p *plan.Plan, dem terrain.DEM) error {
	var errs []error
	if p == nil {
		errs = append(errs, fault.Input("plan: none given"))
	}
	if dem == nil {
		errs = append(errs, fault.Input("plan: no DEM given"))
	}
	return errors.Join(errs...)
}

// Check is the function Check, of all pairs in one shard; with more shards it
// is an error.
func (p *Prepared) Check(ctx context.Context) (*Mesh, error) {
	if err := p.whole(); err != nil {
		return nil, err
	}
	pairs, ground, err := p.job.run(ctx, p.dem)
	if err != nil {
		return nil, err
	}
	return p.job.assemble(ctx, pairs, ground)
}

func (p *Prepared) whole() error {
	if err := p.beyond(); err != nil {
		return err
	}
	if n := p.job.opt.Shards; n != 1 {
		return fault.Input("plan: found a check of %d shards, allowed 1: CheckPart and Merge are for more", n)
	}
	return nil
}

// beyond refuses what Prepare has refused or not made.
func (p *Prepared) beyond() error {
	if p.job == nil {
		return fault.Input("plan: a check that Prepare has not made")
	}
	if e := p.job.beyond; e != nil {
		return e
	}
	return nil
}

// CheckPart examines one shard of the pairs: an even part of them, in the order
// of the ground.
func (p *Prepared) CheckPart(ctx context.Context) (*Part, error) {
	if err := p.beyond(); err != nil {
		return nil, err
	}
	j := p.job
	part := &Part{Schema: PartSchema, Options: j.opt, Extent: p.dem.Extent(), plan: j.p}
	part.Options.Workers, part.Options.Progress = 0, nil
	var err error
	if part.Key, err = j.key(part.Extent); err != nil {
		return nil, err
	}
	if part.GroundHash, err = j.p.GroundHash(p.dem, sampledGround); err != nil {
		return nil, err
	}
	part.Pairs, part.Ground, err = j.run(ctx, p.dem)
	if err != nil {
		return nil, err
	}
	return part, nil
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
