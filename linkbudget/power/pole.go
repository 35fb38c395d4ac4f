package power

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/sun"
)

// PoleOptions says what hangs on the pole and under which sky.
type PoleOptions struct {
	System System
	Stated Stated // without a panel and a cell only the sun is told
	// Weather gives the sun for the height of the ground in metres, so that a
	// default climate can be taken to it.
	// Several goroutines may ask at once, it must be given.
	Weather func(groundM float64) Weather
	Horizon terrain.HorizonOptions
	// Skyline, where given, is what Horizon makes of the place, known from before.
	Skyline *terrain.Skyline
	// SearchM is how far away advice may look for another spot; 0: not at all.
	SearchM float64
	// VerdictOnly leaves out the sun's paths, what steals the sun and advice.
	VerdictOnly bool
}

// PoleSurvey is everything about the sun at one pole.
type PoleSurvey struct {
	Skyline terrain.Skyline
	Paths   []SunPath
	// Panels holds the mean days of the months for each panel, with hills.
	Panels []sun.MonthlyEnergy
	// SunHours are those a day of each month, without and with the hills.
	SunHours [12]sun.MonthHours
	Thieves  []Thief // the worst first
	System   System
	Stated   Stated
	Result   Result
	// Ends are the results under the dullest and the brightest weather that may
	// be, where it is not known.
	Ends []Result
	// Free is the verdict with a free horizon all round, empty where Result is
	// Lives or Unknown.
	Free    Verdict
	Counsel Counsel
	// Source names the climate; Assumed says that it is a default, Hourly that it
	// is of hours as they followed each other, SnowCounted that the snow stated in
	// it was taken off.
	Source                       string
	Assumed, Hourly, SnowCounted bool
}

// SurveyPole looks round from a panel heightM above the ground, follows the sun
// and the cell through a year and asks for advice where the node does not live.
// Ground that is not known where it decides makes the verdict Unknown. Errors are faults
// of the input, terrain that could not be read ([terrain.ErrRead]), or that of ctx.
// A system that Stated calls too little for a verdict comes back as it is, NaN included.
func SurveyPole(ctx context.Context, at orb.Point, heightM float64, dem terrain.DEM,
	opt PoleOptions) (*PoleSurvey, error) {
	s := &PoleSurvey{System: opt.System, Stated: opt.Stated}
	if opt.Weather == nil {
		return nil, fault.Input("sun at %v: no weather given", at)
	}
	var ground [1]float64
	var flag [1]terrain.Flag
	if err := errors.Join(terrain.CheckPlace(at), fault.Range("height_m", heightM, 0, 10e3, "m above the ground"),
		s.faults(), terrain.HeightsOf(dem, []orb.Point{at}, ground[:], flag[:])); err != nil {
		return nil, fmt.Errorf("sun at %v: %w", at, err)
	}
	if !flag[0].Known() {
		s.Skyline = terrain.Skyline{At: at}
		s.Result = unknown(fmt.Sprintf("the height of the ground under the pole is not known (%v)", flag[0]))
		return s, nil
	}
	var err error
	switch {
	case opt.Skyline == nil:
		s.Skyline, err = terrain.Horizon(ctx, dem, at, heightM, opt.Horizon)
	case opt.Skyline.At != at || opt.Skyline.EyeM != ground[0]+heightM:
		err = fault.Input("sun at %v: found the skyline at %v from %g m, allowed that from %g m there", at, opt.Skyline.At,
			opt.Skyline.EyeM, ground[0]+heightM)
	default:
		s.Skyline = *opt.Skyline
	}
	if err != nil {
		return nil, err
	}
	site := sun.Site{At: at, Skyline: s.Skyline}
	weather := opt.Weather(ground[0])
	if opt.VerdictOnly {
		return s, s.judge(site, weather, ground[0])
	}
	if s.Paths, err = SunPaths(site); err != nil {
		return nil, err
	}
	if s.SunHours, err = sun.SunHours(site, pathYear); err != nil {
		return nil, err
	}
	for _, p := range s.shownPanels() {
		months, err := weather.Monthly(site, sun.Panel{TiltDeg: p.TiltDeg, AzimuthDeg: p.AzimuthDeg})
		if err != nil {
			return nil, err
		}
		s.Panels = append(s.Panels, months)
		s.Source, s.Assumed, s.Hourly, s.SnowCounted = months.Source, months.Assumed, months.Hourly, months.SnowCounted
	}
	if err := s.judge(site, weather, ground[0]); err != nil {
		return nil, err
	}
	if s.Thieves, err = s.thieves(site, weather); err != nil {
		return nil, err
	}
	if err := s.withoutHills(site, weather, ground[0]); err != nil {
		return nil, err
	}
	return s, s.advise(ctx, dem, site, weather, ground[0], heightM, opt)
}

// faults are those of a system of which a verdict is asked.
func (s *PoleSurvey) faults() error {
	if !s.Stated.Enough() {
		return nil
	}
	return s.System.Validate()
}

func unknown(why string) Result {
	return Result{Verdict: Unknown, Findings: []Finding{{Unknown, 0, why}}}
}

// shownPanels are those of the system, or one at the default tilt to show the
// sun on.
func (s *PoleSurvey) shownPanels() []Panel {
	if len(s.System.Panels) > 0 {
		return s.System.Panels
	}
	return []Panel{NewPanel(1, Plane{DefaultTiltDeg, equatorDeg(s.Skyline.At.Lat())})}
}

func equatorDeg(latDeg float64) float64 {
	if latDeg < 0 {
		return 0
	}
	return 180
}

// judge surveys under the known skyline and again under the highest that the
// missing ground allows; where the two differ nobody knows.
func (s *PoleSurvey) judge(site sun.Site, weather Weather, groundM float64) error {
	if !s.Stated.Enough() {
		s.Result = unknown("the plan states no panel (panel_w) or no cell (cell_mah or cell_wh)")
		return nil
	}
	if len(weather.Ends) > 0 {
		return s.couldBe(site, weather, groundM)
	}
	var err error
	if s.Result, err = s.under(site, weather, groundM); err != nil {
		return err
	}
	hidden := 0
	for _, d := range s.Skyline.Directions {
		if d.MostDeg > d.ElevDeg {
			hidden++
		}
	}
	if hidden == 0 {
		return nil
	}
	site.Worst = true
	worst, err := s.under(site, weather, groundM)
	if err != nil {
		return err
	}
	share := float64(hidden) / float64(len(s.Skyline.Directions))
	missing := fmt.Sprintf("terrain is missing in %.0f %% of the directions", 100*share)
	if worst.Verdict != s.Result.Verdict {
		known := s.Result.Verdict
		s.Result.Verdict, s.Result.Month = Unknown, 0
		s.Result.Findings = slices.Insert(s.Result.Findings, 0, Finding{Unknown, 0, fmt.Sprintf("%s: %s if nothing stands "+
			"there, %s if it is as high as the highest ground known round about", missing, known, worst.Verdict)})
		return nil
	}
	s.Result.Warnings = append(s.Result.Warnings, missing+"; the verdict holds even if it is as high as the highest "+
		"ground known round about; higher it may be")
	return nil
}

// under surveys the system at a site in a weather.
func (s *PoleSurvey) under(site sun.Site, weather Weather, groundM float64) (Result, error) {
	e, err := ExposureOf(site, weather, groundM)
	if err != nil {
		return Result{}, err
	}
	return Survey(s.System, e)
}

// couldBe tells what might be where nobody knows the weather. Missing ground is as
// high as it could be under the dull sky, as low under the bright one.
func (s *PoleSurvey) couldBe(site sun.Site, weather Weather, groundM float64) error {
	for i, w := range weather.Ends {
		site.Worst = i == 0
		r, err := s.under(site, w, groundM)
		if err != nil {
			return err
		}
		s.Ends = append(s.Ends, r)
	}
	dull, bright := &s.Ends[0], &s.Ends[len(s.Ends)-1]
	why := "no climate of this place is given, and a default decides nothing: the node %s " +
		"under the dullest sky and hardest frost of the latitude, and %s under its brightest and mildest"
	if weather.AirOnly {
		if dull.Verdict == bright.Verdict {
			s.Result = *dull
			s.Result.Warnings = append(s.Result.Warnings, "the climate states no air temperatures (air_c): the verdict holds "+
				"in the harshest and the mildest air of the latitude; frost and heat are told of the harshest")
			return nil
		}
		why = "the climate states no air temperatures (air_c), and frost decides: the node %s in " +
			"the harshest air of the latitude, and %s in its mildest"
	}
	s.Result = unknown(fmt.Sprintf(why, verdictVerb(dull), verdictVerb(bright)))
	s.Result.LoadWh, s.Result.CapacityWh, s.Result.Warnings = dull.LoadWh, dull.CapacityWh, dull.Warnings
	return nil
}

// verdictVerb is the verdict in a sentence.
func verdictVerb(r *Result) string {
	switch r.Verdict {
	case Thin:
		return "is thin"
	case Dies:
		return fmt.Sprintf("dies (%s)", r.hoursText(r.Mid))
	}
	return string(r.Verdict)
}

// withoutHills tells whether the hills are to blame.
func (s *PoleSurvey) withoutHills(site sun.Site, weather Weather, groundM float64) error {
	if s.Result.Verdict != Thin && s.Result.Verdict != Dies {
		return nil
	}
	r, err := s.under(sun.Site{At: site.At}, weather.hardest(), groundM)
	s.Free = r.Verdict
	return err
}
