package sun

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Monthly returns what a panel gets on the mean day of each month. The radiation of the mean day is
// split into beam and sky light (Erbs), spread over the hours (Collares-Pereira and Rabl; Liu and
// Jordan), turned onto the panel under an evenly bright sky, and followed in steps of 4 minutes
// past the skyline. The error tells every bad argument.
func Monthly(site Site, panel Panel, climate Climate) (MonthlyEnergy, error) {
	r, err := newRun(site, panel, climate)
	if err != nil {
		return MonthlyEnergy{}, err
	}
	return r.monthly(), nil
}

// Daily returns what a panel gets on each day of a year: in each month the days that belong to its
// means, dark and bright ones (Liu and Jordan's distribution) and cold and warm ones (Erbs, Klein
// and Beckman's), with a dark week and a cold spell.
func Daily(site Site, panel Panel, climate Climate) (DailyEnergy, error) {
	r, err := newRun(site, panel, climate)
	if err != nil {
		return DailyEnergy{}, err
	}
	return r.daily(), nil
}

// run is a checked job.
type run struct {
	method  method
	arcs    *Arcs
	latDeg  float64
	sky     sky
	view    float64 // of the sky, from the panel
	panel   Panel
	climate Climate
}

func newRun(site Site, panel Panel, climate Climate) (*run, error) {
	if err := errors.Join(site.Check(), panel.Check(), climate.Check(site.At[1]),
		checkNear("climate", climate.Source, climate.At, site.At)); err != nil {
		return nil, err
	}
	r := &run{arcs: site.Arcs, latDeg: site.At[1], sky: newSky(site.Skyline, site.Worst), panel: panel.withDefaults(),
		climate: climate}
	r.view = r.sky.view(r.panel)
	return r, nil
}

// clearness is the clearness index of a month.
func (r *run) clearness(month int) float64 {
	outside := outsideOfMonth(r.latDeg, month)
	if !(outside > 0) {
		return 0
	}
	return r.climate.Months[month].GlobalWhM2 / outside
}

func (r *run) monthly() MonthlyEnergy {
	snow, counted := r.snow()
	out := MonthlyEnergy{Source: r.climate.Source, Assumed: r.climate.Assumed, SnowCounted: counted}
	for i := range out.Months {
		kt := r.clearness(i)
		days := daysFor(r.latDeg, i)
		meanK, swingK := r.climate.air(r.latDeg, i)
		m := MonthEnergy{Month: time.Month(i + 1), AirK: meanK, AirHighK: meanK + swingK, AirLowK: meanK - swingK}
		for _, n := range days {
			a := r.arcs.of(r.method, r.latDeg, n, &r.sky, r.view, r.panel)
			w := weather{globalWhM2: kt * a.outsideWhM2, diffuseShare: diffuseOfMonth(kt, a.sunsetDeg),
				meanK: meanK, swingK: swingK, factor: r.climate.factor(kt)}
			sum := a.over(w, r.panel, nil)
			share := 1 / float64(len(days))
			m.GlobalWhM2 += w.globalWhM2 * share
			m.FreeWhM2 += sum.free.total() * share
			m.PlaneWhM2 += sum.plane.total() * share
			m.YieldWhPerWp += sum.yieldWh * share
		}
		m.FreeWhM2 *= 1 - snow[i]
		m.PlaneWhM2 *= 1 - snow[i]
		m.YieldWhPerWp *= 1 - snow[i]
		out.Months[i] = m
	}
	return out
}

func (r *run) daily() DailyEnergy {
	snow, counted := r.snow()
	out := DailyEnergy{Source: r.climate.Source, Assumed: r.climate.Assumed, AirAtM: r.climate.AirAtM,
		SnowCounted: counted,
		Days:        make([]Day, 0, 365)}
	yearSpreadK := r.climate.airYearSpreadK(r.latDeg)
	for i := range 12 {
		km := r.clearness(i)
		meanK, swingK := r.climate.air(r.latDeg, i)
		days := daysFor(r.latDeg, i)
		n := monthStart[i+1] - monthStart[i]
		clearness, air := dayClearness(km, n), airOfDays(meanK, yearSpreadK, n)
		swing := swingOfDays(swingK, clearness)
		dark, cold := dayOrder(n)
		var a arc
		for j := range n {
			if j < len(days) {
				a = r.arcs.of(r.method, r.latDeg, days[j], &r.sky, r.view, r.panel)
			}
			kt := clearness[dark[j]]
			w := weather{globalWhM2: kt * a.outsideWhM2, diffuseShare: diffuseOfDay(kt, a.sunsetDeg),
				meanK: air[cold[j]], swingK: swing[dark[j]], factor: r.climate.factor(km)}
			d := Day{Month: time.Month(i + 1), DayOfMonth: j + 1}
			a.over(w, r.panel, &d.Hours)
			out.Days = append(out.Days, d)
		}
		cover(out.Days[monthStart[i]:], snow[i])
	}
	return out
}

func (p Panel) withDefaults() Panel {
	p.NOCTK, p.PowerPerK = cmp.Or(p.NOCTK, 318.15), cmp.Or(p.PowerPerK, -0.004)
	p.GroundReflectance = cmp.Or(p.GroundReflectance, 0.2)
	return p
}

// Check returns every fault of the panel.
func (p Panel) Check() error {
	var errs []error
	add := func(field string, v, low, high float64, unit string) {
		if err := fault.Range(field, v, low, high, unit); err != nil {
			errs = append(errs, fmt.Errorf("sun: panel: %w", err))
		}
	}
	add("tilt_deg", p.TiltDeg, 0, 180, "degrees from looking up")
	add("azimuth_deg", p.AzimuthDeg, -360, 360, "degrees")
	if p.NOCTK != 0 {
		add("nominal operating cell temperature", p.NOCTK, 293.15, 373.15, "K, or 0 for 318.15 K")
	}
	add("power change", p.PowerPerK, -0.02, 0, "per kelvin, 0 for -0.004")
	add("reflectance of the ground", p.GroundReflectance, 0, 1, "and 0 for 0.2")
	return errors.Join(errs...)
}

// Check returns every fault of the site.
func (s Site) Check() error {
	var errs []error
	if err := terrain.CheckPlace(s.At); err != nil {
		errs = append(errs, fmt.Errorf("sun: site: %w", err))
	}
	for i, d := range s.Skyline.Directions {
		if !(math.Abs(d.ElevDeg) <= 90) || !(math.Abs(d.MostDeg) <= 90) {
			errs = append(errs, fault.Input("sun: site: skyline direction %d stands at %g°, at most %g°, must be within ±90°",
				i, d.ElevDeg, d.MostDeg))
			break
		}
	}
	return errors.Join(errs...)
}
