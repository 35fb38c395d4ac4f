package siting

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/sun"
)

// Sun says what hangs on the poles and under which sky.
type Sun struct {
	// Pole is what would hang on a pole at a place, as for power.SurveyPole;
	// SearchM and VerdictOnly are not used.
	Pole func(at orb.Point) power.PoleOptions
	// PanelUpM is the panel above ground, m; 0 means the height of the antenna.
	PanelUpM float64

	// highestM is the highest ground that a glance from the middle of the ground searched meets, 0 where
	// none was taken: other glances end where it could not rise above their skyline.
	highestM float64
	arcs     *sun.Arcs
}

// Sky is the sky over a spot and its sun. Energies are those of the mean day of
// a month on the first panel, or on one of 60° towards the equator. Unknown
// ground counts as high as it could be, so that less sun is told than may come.
type Sky struct {
	Skyline  terrain.Skyline
	PanelUpM float64
	Plane    power.Plane
	// Month is the one with the least sun on the panel: SunWhM2 with the hills,
	// FreeWhM2 with a flat horizon, Wh/m² a day; a thousandth is the peak sun hours.
	Month             time.Month
	SunWhM2, FreeWhM2 float64
	// Day is the shortest day, at the winter solstice; the sun stands above the
	// skyline for DirectH hours and above a flat horizon for DaylightH.
	Day                time.Time
	DirectH, DaylightH float64
	// UnknownShare is in how many of the directions, 0 to 1, unknown ground could
	// hide more than half of the sun above the known skyline and the level.
	UnknownShare float64
	// Power is whether the node lives, nil where panel and cell are not stated.
	Power *power.Result
	// Source names the climate; Assumed says that it is a default.
	Source  string
	Assumed bool
}

// Share is the part of the sun of a flat horizon that the hills leave in the
// worst month, 0 to 1; 0 where a flat horizon has no sun either.
func (s *Sky) Share() float64 {
	if !(s.FreeWhM2 > 0) {
		return 0
	}
	return min(s.SunWhM2/s.FreeWhM2, 1)
}

// Percent is Share in whole percent.
func (s *Sky) Percent() float64 { return math.Round(100 * s.Share()) }

// Highest returns the highest part of the skyline, degrees, and its azimuth.
func (s *Sky) Highest() (elevDeg, azimuthDeg float64) {
	elevDeg = math.Inf(-1)
	for i, d := range s.Skyline.Directions {
		if d.ElevDeg > elevDeg {
			elevDeg, azimuthDeg = d.ElevDeg, float64(i)*s.Skyline.StepDeg
		}
	}
	return elevDeg, azimuthDeg
}

// sunRadiusDeg is half the width of the sun.
const sunRadiusDeg = 0.267

// care is how much of a sky is computed.
type care uint8

const (
	glance  care = iota // the part of the sun, within glanceSlack
	share               // the part of the sun
	verdict             // and the shortest day, and the node's year
)

// A glance looks in a third of the directions, at every fourth sample, up to 20 km. What it misses
// makes the skyline lower, so that it finds the sun there is or more, up to 0.4 per cent less: of 400
// places of the demo's mountains. TestGlance measures it again.
const (
	glanceStepDeg = 3
	glanceRough   = 4
	glanceM       = 20e3
	glanceSlack   = 0.01
)

// look computes the sky over a place; its skyline may be known.
func (s *Sun) look(ctx context.Context, dem terrain.DEM, at orb.Point, mastM float64, c care,
	skyline *terrain.Skyline) (*Sky, error) {
	opt := s.Pole(at)
	opt.VerdictOnly, opt.Skyline = true, skyline
	if c == glance {
		opt.Horizon.StepDeg, opt.Horizon.Rough, opt.Horizon.MaxM = glanceStepDeg, glanceRough, glanceM
		opt.Horizon.HighestM = cmp.Or(opt.Horizon.HighestM, s.highestM)
	}
	sky := &Sky{PanelUpM: cmp.Or(s.PanelUpM, mastM), Plane: power.Plane{TiltDeg: power.DefaultTiltDeg, AzimuthDeg: 180}}
	if at[1] < 0 {
		sky.Plane.AzimuthDeg = 0
	}
	if len(opt.System.Panels) > 0 {
		sky.Plane = opt.System.Panels[0].Plane
	}
	known := opt.Stated.Enough() && c == verdict
	if !known {
		opt.Stated = power.Stated{}
	}
	survey, err := power.SurveyPole(ctx, at, sky.PanelUpM, dem, opt)
	if err != nil {
		return nil, fmt.Errorf("siting: sun at %v: %w", at, err)
	}
	if known {
		sky.Power = &survey.Result
	}
	sky.Skyline = survey.Skyline
	hidden := 0
	for _, d := range sky.Skyline.Directions {
		if d.MostDeg > max(d.ElevDeg, 0)+sunRadiusDeg {
			hidden++
		}
	}
	if n := len(sky.Skyline.Directions); n > 0 {
		sky.UnknownShare = float64(hidden) / float64(n)
	}
	site := sun.Site{At: at, Skyline: sky.Skyline, Worst: true, Arcs: s.arcs}
	if err := sky.worstMonth(site, opt.Weather(sky.Skyline.EyeM-sky.PanelUpM)); err != nil {
		return nil, fmt.Errorf("siting: sun at %v: %w", at, err)
	}
	if c == verdict {
		err = sky.shortestDay(site)
	}
	return sky, err
}

// lookedRound is the sun with a glance from the middle of ground of a radius; without one where the middle is
// not known.
func (s *Sun) lookedRound(ctx context.Context, dem terrain.DEM, middle orb.Point, radiusM float64) (*Sun, error) {
	opt := s.Pole(middle).Horizon
	opt.StepDeg, opt.Rough, opt.MaxM, opt.HighestM = glanceStepDeg, glanceRough, glanceM+radiusM, 0
	ground, flag := [1]float64{}, [1]terrain.Flag{}
	if err := terrain.HeightsOf(dem, []orb.Point{middle}, ground[:], flag[:]); err != nil || !flag[0].Known() {
		return s, err
	}
	round, err := terrain.Horizon(ctx, dem, middle, s.PanelUpM, opt)
	out := *s
	out.highestM, out.arcs = round.HighestM, new(sun.Arcs)
	return &out, err
}

// worstMonth finds the month with the least sun.
func (s *Sky) worstMonth(site sun.Site, w power.Weather) error {
	year, err := w.Monthly(site, sun.Panel{TiltDeg: s.Plane.TiltDeg, AzimuthDeg: s.Plane.AzimuthDeg})
	if err != nil {
		return err
	}
	s.Source, s.Assumed = year.Source, year.Assumed
	for i, m := range year.Months {
		if i == 0 || m.PlaneWhM2 < s.SunWhM2 {
			s.Month, s.SunWhM2, s.FreeWhM2 = time.Month(i+1), m.PlaneWhM2, m.FreeWhM2
		}
	}
	return nil
}

// solsticeYear stands for every year.
const solsticeYear = 2025

// shortestDay counts the hours from midnight to midnight by the sun.
func (s *Sky) shortestDay(site sun.Site) error {
	s.Day = time.Date(solsticeYear, time.December, 21, 0, 0, 0, 0, time.UTC)
	if site.At[1] < 0 {
		s.Day = time.Date(solsticeYear, time.June, 21, 0, 0, 0, 0, time.UTC)
	}
	midnight := s.Day.Add(-time.Duration(site.At[0] / 15 * float64(time.Hour)))
	hours := func(site sun.Site) (float64, error) {
		intervals, err := sun.Sunlit(site, midnight, midnight.Add(24*time.Hour))
		sum := time.Duration(0)
		for _, i := range intervals {
			sum += i.End.Sub(i.Start)
		}
		return sum.Hours(), err
	}
	var err error
	if s.DirectH, err = hours(site); err != nil {
		return err
	}
	s.DaylightH, err = hours(sun.Site{At: site.At})
	return err
}
