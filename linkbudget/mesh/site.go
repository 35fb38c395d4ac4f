package mesh

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sort"

	"github.com/paulmach/orb"
	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Site is the answer for one pole.
type Site struct {
	Pole     linkbudget.Station
	At       plan.Station // the pole as the plan has it
	Settings plan.Settings
	// GroundM is the ground at the pole; GroundFlag says whether it is known.
	GroundM    float64
	GroundFlag terrain.Flag
	// Rules compares the pole with the band's table, nil without a band.
	Rules *band.Report
	// Links are ordered: required first, then by distance.
	Links []SiteLink
	// Beyond names the neighbours farther than the range, nearest first.
	Beyond []string
	// Verdict is that of the wanted links: the weakest required one or, where
	// none is required, whether AtLeast neighbours are reached.
	Verdict linkbudget.Verdict
	// Reached counts the links whose verdict is reaches, AtLeast the wanted number.
	Reached, AtLeast int
	// RequiredCount is how many links the plan requires of this pole,
	// RequiredReached how many of them reach.
	RequiredCount, RequiredReached int
	// Warnings name neighbours left out and why.
	Warnings []string
}

// SiteLink is the path from the pole to one neighbour.
type SiteLink struct {
	PathCheck
	// Wanted says that a link of the plan joins the two, Required that it must hold.
	Wanted, Required bool
	// Neighbour is the other station; Environment what the path was computed with.
	Neighbour   *plan.Station
	Environment linkbudget.Environment
}

// CheckSite evaluates the paths from one pole to its neighbours. The pole need
// not be a station of the plan: Name "" is a new pole. Errors name every fault of the
// plan, the pole, the settings and heights at once ([fault.ErrInput]), or the terrain file
// that failed ([terrain.ErrRead]).
func CheckSite(ctx context.Context, p *plan.Plan, pole plan.Station, dem terrain.DEM, opt SiteOptions) (*Site, error) {
	if p == nil || dem == nil {
		return nil, errNothing(p, dem)
	}
	if opt.RangeM == 0 {
		opt.RangeM = DefaultRangeM
	}
	if opt.AtLeast == 0 {
		opt.AtLeast = 1
	}
	opt.Settings.Cover = p.CoverText(opt.Settings.Cover)
	site := &Site{At: pole, Settings: opt.Settings, AtLeast: opt.AtLeast}
	if pole.Name == "" {
		pole.Name = "the new pole"
	}
	err := errors.Join(opt.validate(), p.Validate())
	if err == nil {
		err = (&plan.Plan{Source: p.Source, Stations: []plan.Station{pole}}).Validate()
	}
	if err != nil {
		return nil, errors.Join(err, opt.Settings.Validate())
	}
	site.neighbours(p, opt)
	examined := []*plan.Station{&site.At}
	for i := range site.Links {
		examined = append(examined, site.Links[i].Neighbour)
	}
	if err := errors.Join(opt.Settings.Validate(), opt.Settings.CheckHeights(examined...)); err != nil {
		return nil, err
	}
	site.Pole = opt.Settings.Fill(&pole)
	if len(site.Links) == 0 { // else each link tells
		if err := errors.Join(site.Pole.Validate(), opt.Settings.Environment.Contradictions(site.Pole)); err != nil {
			return nil, err
		}
	}
	if dem, err = p.OnTerrain(dem); err != nil {
		return nil, err
	}
	if err := site.ground(dem); err != nil {
		return nil, err
	}
	if missing, err := plan.MissingGround(dem, "the pole", pole.At); err != nil {
		return nil, err
	} else if missing != "" {
		site.Warnings = append([]string{missing}, site.Warnings...)
	}
	if site.Rules, err = opt.rules(site.Pole, opt.Settings.Environment); err != nil {
		return nil, err
	}
	if err := site.evaluate(ctx, dem, opt); err != nil {
		return nil, err
	}
	site.judge()
	return site, nil
}

// neighbours lists the links to examine, required first and then by distance.
func (s *Site) neighbours(p *plan.Plan, opt SiteOptions) {
	pole := s.At
	wanted := map[string]*plan.Link{}
	for i := range p.Links {
		switch l := &p.Links[i]; pole.Name {
		case "":
		case l.From:
			wanted[l.To] = l
		case l.To:
			wanted[l.From] = l
		}
	}
	type far struct {
		name  string
		distM float64
	}
	var tooFar []far
	for i := range p.Stations {
		st := &p.Stations[i]
		if st.Name == pole.Name {
			continue
		}
		g := terrain.Inverse(pole.At, st.At)
		l := wanted[st.Name]
		if g.DistM < minPathM {
			s.Warnings = append(s.Warnings, fmt.Sprintf("%q stands within %g m of the pole and is left out", st.Name, minPathM))
			continue
		}
		if g.DistM > opt.RangeM && l == nil {
			tooFar = append(tooFar, far{st.Name, g.DistM})
			continue
		}
		s.Links = append(s.Links, SiteLink{
			PathCheck: PathCheck{Result: linkbudget.Result{Summary: linkbudget.Summary{DistM: g.DistM}}},
			Wanted:    l != nil,
			Required:  l != nil && l.Required,
			Neighbour: st, Environment: opt.Settings.LinkEnvironment(l),
		})
	}
	sort.SliceStable(s.Links, func(i, j int) bool {
		a, b := &s.Links[i], &s.Links[j]
		if a.Required != b.Required {
			return a.Required
		}
		return a.DistM < b.DistM
	})
	sort.SliceStable(tooFar, func(i, j int) bool { return tooFar[i].distM < tooFar[j].distM })
	for _, f := range tooFar {
		s.Beyond = append(s.Beyond, f.name)
	}
}

// minPathM is below any path worth a terrain profile: two radios on one pole.
const minPathM = 1.0

func (s *Site) ground(dem terrain.DEM) error {
	heightM, flag := make([]float64, 1), make([]terrain.Flag, 1)
	if err := terrain.HeightsOf(dem, []orb.Point{s.At.At}, heightM, flag); err != nil {
		return fmt.Errorf("ground at %q: %w", s.Pole.Name, err)
	}
	s.GroundM, s.GroundFlag = heightM[0], flag[0]
	return nil
}

// evaluate fills the links, each goroutine its own, so order and bytes do not
// depend on the number of workers. Nor do the errors: every link is tried, and
// a fault that several links share is told once, with the first of them.
func (s *Site) evaluate(ctx context.Context, dem terrain.DEM, opt SiteOptions) error {
	workers := opt.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var group errgroup.Group
	group.SetLimit(workers)
	faults := make([]error, len(s.Links))
	for i := range s.Links {
		group.Go(fault.Guarded(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			faults[i] = s.evaluateLink(ctx, &s.Links[i], dem, opt)
			return nil
		}))
	}
	if err := group.Wait(); err != nil {
		return err
	}
	var errs []error
	told := map[string]bool{}
	for i, fault := range faults {
		for _, err := range leaves(fault) {
			if !told[err.Error()] {
				told[err.Error()] = true
				errs = append(errs, fmt.Errorf("link %q to %q: %w", s.Pole.Name, s.Links[i].Neighbour.Name, err))
			}
		}
	}
	return errors.Join(errs...)
}

// leaves are the errors that were joined to err, none for nil.
func leaves(err error) []error {
	joined, ok := err.(interface{ Unwrap() []error })
	switch {
	case err == nil:
		return nil
	case !ok:
		return []error{err}
	}
	var list []error
	for _, e := range joined.Unwrap() {
		list = append(list, leaves(e)...)
	}
	return list
}

func (s *Site) evaluateLink(ctx context.Context, l *SiteLink, dem terrain.DEM, opt SiteOptions) error {
	opt.Settings.Environment = l.Environment
	check, err := CheckPath(ctx, s.Pole, opt.Settings.Fill(l.Neighbour), s.At.At, l.Neighbour.At, dem, opt)
	l.PathCheck = check
	if !opt.KeepProfiles {
		l.Profile = terrain.Profile{}
	}
	return err
}
