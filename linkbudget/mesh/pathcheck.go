package mesh

import (
	"context"
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/terrain"
)

// PathCheck is all that is asked of one path: does it close, how sure, what
// would make it, and what do the rules of the band say of both ends.
type PathCheck struct {
	linkbudget.Result
	// Profile is the sampled path, from A; a survey keeps it only on request.
	Profile terrain.Profile
	// Counsel is what would make it reach; empty where it does, or is unknown.
	Counsel linkbudget.Counsel
	// RulesA and RulesB compare both ends with the band's table; nil without one.
	RulesA, RulesB *band.Report
}

// CheckPath samples the terrain between two stations and answers for the path, with
// Settings.Environment, Settings.Profile and all of opt that bounds advice. Errors are
// bad input, all at once, terrain that could not be read ([terrain.ErrRead]), or that of
// ctx, which is looked at between the places that advice tries.
func CheckPath(ctx context.Context, a, b linkbudget.Station, atA, atB orb.Point, dem terrain.DEM,
	opt SiteOptions) (PathCheck, error) {
	profile, err := terrain.NewProfile(dem, atA, atB, opt.Settings.Profile)
	if err != nil {
		return PathCheck{}, err
	}
	limits := opt.limits(opt.Settings.Environment)
	limits.Nearby = nearby(ctx, dem, a, b, atA, atB, opt.Settings.Profile)
	return checkProfile(profile, a, b, opt, limits)
}

// CheckProfile is CheckPath over ground that is known already, where no pole can be
// moved.
func CheckProfile(profile terrain.Profile, a, b linkbudget.Station, opt SiteOptions) (PathCheck, error) {
	return checkProfile(profile, a, b, opt, opt.limits(opt.Settings.Environment))
}

func checkProfile(profile terrain.Profile, a, b linkbudget.Station, opt SiteOptions,
	limits linkbudget.AdviceLimits) (PathCheck, error) {
	c := PathCheck{Profile: profile}
	var err error
	env := opt.Settings.Environment
	if c.Result, err = linkbudget.Evaluate(c.Profile, a, b, env); err != nil {
		return c, err
	}
	if c.RulesA, err = opt.rules(a, env); err != nil {
		return c, err
	}
	if c.RulesB, err = opt.rules(b, env); err != nil {
		return c, err
	}
	if c.Verdict == linkbudget.Unknown {
		return c, nil
	}
	if c.Delivery, err = env.Delivery(c.Weaker().SNRDB); err != nil {
		return c, err
	}
	c.Counsel, err = linkbudget.Advise(c.Profile, a, b, env, limits)
	return c, err
}

// BeyondRules reports whether either end is beyond the band's table.
func (c PathCheck) BeyondRules() bool {
	return c.RulesA != nil && c.RulesA.Exceeds() || c.RulesB != nil && c.RulesB.Exceeds()
}
