package sun

import (
	"errors"
	"time"

	"github.com/polereach/polereach/terrain/fault"
)

// Interval is a stretch of time.
type Interval struct{ Start, End time.Time }

// referenceYear stands for every year where one has to be chosen. It is no leap
// year; the sun on a date moves by up to 0.2° from year to year.
const referenceYear = 2025

const (
	// riseDeg is the elevation of the sun's centre at sunrise in almanacs: 34' of
	// refraction and 16' of radius (Meeus chapter 15).
	riseDeg = -0.8333
	// sunRadiusDeg is half the width of the sun.
	sunRadiusDeg = 0.2667
	// sunStep is how often the sun is looked at: a glimpse shorter than this may
	// be missed.
	sunStep = 2 * time.Minute
	// mostSunlit bounds the time asked for.
	mostSunlit = 370 * 24 * time.Hour
)

// Sunlit returns when, between two moments up to 370 days apart, any part of the sun stands above
// the skyline, to the second. Under a free horizon (no skyline given) these are the sunrise and
// sunset of almanacs. In the polar night there is none; under the midnight sun there is one from
// start to end.
func Sunlit(site Site, from, to time.Time) ([]Interval, error) {
	if err := errors.Join(site.Check(), checkMoment(from, site.At), checkMoment(to, site.At)); err != nil {
		return nil, err
	}
	if d := to.Sub(from); !(d > 0 && d <= mostSunlit) {
		return nil, fault.Input("sun: %v to %v, must be above 0 and at most 370 days", from, to)
	}
	k := newSky(site.Skyline, site.Worst)
	var sun track
	up := func(t time.Time) bool { return k.showsSun(sun.at(julianDay(t), site.At)) > 0 }
	var out []Interval
	was := up(from)
	start := from
	for t := from; t.Before(to); {
		next := t.Add(sunStep)
		if next.After(to) {
			next = to
		}
		if is := up(next); is != was {
			edge := bisect(t, next, was, up)
			if was {
				out = append(out, Interval{start, edge})
			}
			start, was = edge, is
		}
		t = next
	}
	if was {
		out = append(out, Interval{start, to})
	}
	return out, nil
}

// bisect returns the moment between two at which up changes from was.
func bisect(from, to time.Time, was bool, up func(time.Time) bool) time.Time {
	for to.Sub(from) > 500*time.Millisecond {
		mid := from.Add(to.Sub(from) / 2)
		if up(mid) == was {
			from = mid
		} else {
			to = mid
		}
	}
	return to
}

// showsSun returns how far the upper edge of the sun stands above the skyline,
// degrees.
func (k *sky) showsSun(p Position) float64 {
	if k.free {
		return p.TrueElevDeg + 0.0024 - riseDeg // almanacs count without parallax
	}
	return p.TrueElevDeg + refractionDeg(p.TrueElevDeg, standardAir) + sunRadiusDeg - k.at(p.AzimuthDeg)
}

// MonthHours is the time the sun's centre stands above the horizon on the mean day
// of a month, hours: above the level one and above the skyline.
type MonthHours struct{ FreeH, SeenH float64 }

// SunHours returns the hours of possible sun a day in each month of a year, with
// and without the hills.
func SunHours(site Site, year int) ([12]MonthHours, error) {
	var out [12]MonthHours
	err := errors.Join(site.Check(), checkMoment(time.Date(year, 7, 1, 0, 0, 0, 0, time.UTC), site.At))
	if err != nil {
		return out, err
	}
	k := newSky(site.Skyline, site.Worst)
	// From local midnight by the sun, month by month, in steps of 4 minutes; where
	// the sun crosses the horizon within a step, the part above counts.
	zone := time.Duration(-site.At[0] / 15 * float64(time.Hour))
	const step = 4 * time.Minute
	var sun track
	for m := range out {
		start := time.Date(year, time.Month(m+1), 1, 0, 0, 0, 0, time.UTC).Add(zone)
		end := time.Date(year, time.Month(m+2), 1, 0, 0, 0, 0, time.UTC).Add(zone)
		freeDeg, seenDeg := k.clearance(sun.at(julianDay(start), site.At))
		for t := start; t.Before(end); t = t.Add(step) {
			nextFreeDeg, nextSeenDeg := k.clearance(sun.at(julianDay(t.Add(step)), site.At))
			out[m].FreeH += step.Hours() * partAbove(freeDeg, nextFreeDeg)
			out[m].SeenH += step.Hours() * partAbove(seenDeg, nextSeenDeg)
			freeDeg, seenDeg = nextFreeDeg, nextSeenDeg
		}
		days := end.Sub(start).Hours() / 24
		out[m].FreeH, out[m].SeenH = out[m].FreeH/days, out[m].SeenH/days
	}
	return out, nil
}

// clearance returns how far the centre of the sun stands above level and above
// the skyline, degrees, as seen through the air.
func (k *sky) clearance(p Position) (freeDeg, seenDeg float64) {
	freeDeg = p.TrueElevDeg + refractionDeg(p.TrueElevDeg, standardAir)
	return freeDeg, freeDeg - k.at(p.AzimuthDeg)
}

// partAbove returns the part of a step that a straight line from a to b lies
// above 0.
func partAbove(a, b float64) float64 {
	switch {
	case a > 0 && b > 0:
		return 1
	case a <= 0 && b <= 0:
		return 0
	case a > 0:
		return a / (a - b)
	}
	return b / (b - a)
}
