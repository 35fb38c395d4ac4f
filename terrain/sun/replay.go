package sun

import (
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// farthestWeatherM is how far the place of weather or climate may be from the panel.
const farthestWeatherM = 300e3

// Replay returns what a panel gets in each hour of a year of weather, in its true order. The file
// describes open ground at its own place; the skyline of the site is put before its sun, which is
// followed in steps of 4 minutes, the beam of an hour spread evenly over the part of it in which
// the sun is up. The sky is evenly bright. No model factor is applied. A file more than 300 km away
// is refused.
func Replay(site Site, panel Panel, weather *Weather) (DailyEnergy, error) {
	if err := errors.Join(site.Check(), panel.Check(), weather.check()); err != nil {
		return DailyEnergy{}, err
	}
	if err := checkNear("weather", weather.Name, &weather.At, site.At); err != nil {
		return DailyEnergy{}, err
	}
	panel = panel.withDefaults()
	k := newSky(site.Skyline, site.Worst)
	var sun track
	view := min(k.view(panel), (1+math.Cos(panel.TiltDeg*deg))/2)
	heightM := weather.HeightM
	out := DailyEnergy{Source: weather.source(), InOrder: true, Years: 1, Typical: weather.Typical, AirAtM: &heightM,
		Days: make([]Day, len(weather.Hours)/24)}
	for i := range weather.Hours {
		h := &weather.Hours[i]
		d := &out.Days[i/24]
		d.Month, d.DayOfMonth = h.Month, h.DayOfMonth
		ratio, clear := 0.0, 0.0
		if h.BeamWM2 > 0 {
			ratio, clear = k.beamOver(&sun, weather, i, panel)
		}
		level := onLevel{beam: max(0, h.GlobalWM2-h.DiffuseWM2), diffuse: h.DiffuseWM2}
		r := isotropic(level, 0, view, panel)
		r.beam = h.BeamWM2 * ratio
		d.Hours[i%24] = Hour{
			PlaneWM2:    r.total(),
			YieldWPerWp: r.total() / 1000 * min(1, heatFactor(r.total(), h.AirK, panel)),
			GlobalWM2:   h.GlobalWM2,
			DiffuseWM2:  h.DiffuseWM2,
			BeamWM2:     h.BeamWM2 * clear,
			AirK:        h.AirK,
		}
	}
	return out, nil
}

// checkNear refuses what is known to be of another place. Places that are none are
// left to their own checks.
func checkNear(what, name string, of *orb.Point, site orb.Point) error {
	if of == nil || terrain.CheckPlace(site) != nil {
		return nil
	}
	if err := terrain.CheckPlace(*of); err != nil {
		return fmt.Errorf("sun: the place of the %s of %q: %w", what, name, err)
	}
	if d := terrain.Inverse(site, *of).DistM; !(d <= farthestWeatherM) {
		return fault.Input("sun: the %s of %q is that of a place %.0f km away, must be within %g km", what, name, d/1000,
			farthestWeatherM/1000)
	}
	return nil
}

// source names a year of weather, one made by hand too.
func (w *Weather) source() string {
	if w.Source != "" {
		return w.Source
	}
	return "weather file " + w.Name
}

// beamOver returns, for hour i, the mean cosine of incidence of the beam that
// passes the skyline, and the part of the beam that does.
func (k *sky) beamOver(sun *track, w *Weather, i int, panel Panel) (meanCos, clear float64) {
	up := 0
	for s := range stepsPerHour {
		p := sun.at(julianDay(w.moment(i, (float64(s)+0.5)/stepsPerHour)), w.At)
		if p.TrueElevDeg <= riseDeg {
			continue
		}
		up++
		if seenDeg := p.TrueElevDeg + refractionDeg(p.TrueElevDeg, standardAir); seenDeg > k.at(p.AzimuthDeg) {
			clear++
			meanCos += max(0, cosIncidence(p.TrueElevDeg, p.AzimuthDeg, panel))
		}
	}
	if up == 0 {
		return 0, 0
	}
	return meanCos / float64(up), clear / float64(up)
}

// check returns every fault of a year of weather, which may be made by hand.
func (w *Weather) check() error {
	if w == nil {
		return fault.Input("sun: no weather given")
	}
	var errs []error
	if err := terrain.CheckPlace(w.At); err != nil {
		errs = append(errs, fmt.Errorf("sun: weather %q: %w", w.Name, err))
	}
	if len(w.Hours) != 8760 {
		errs = append(errs, fault.Input("sun: weather %q: %d hours, must be 8760", w.Name, len(w.Hours)))
	}
	if !(math.Abs(w.ZoneH) <= 26) {
		errs = append(errs, fault.Input("sun: weather %q: time zone %g h, must be within ±26 h", w.Name, w.ZoneH))
	}
	for i, h := range w.Hours {
		if !(h.AirK >= 180 && h.AirK <= 373.15) || !(h.GlobalWM2 >= 0 && h.GlobalWM2 < 2000) ||
			!(h.BeamWM2 >= 0 && h.BeamWM2 < 2000) || !(h.DiffuseWM2 >= 0 && h.DiffuseWM2 < 2000) {
			errs = append(errs, fault.Input("sun: weather %q: hour %d: air %g K, radiation %g, %g, %g W/m², must be 180 to "+
				"373 K and 0 to 2000 W/m²", w.Name, i, h.AirK, h.GlobalWM2, h.BeamWM2, h.DiffuseWM2))
			break
		}
	}
	return errors.Join(errs...)
}

// Joined returns years day by day one after the other as one. It is typical where
// each of them is.
func Joined(years []DailyEnergy) DailyEnergy {
	if len(years) == 1 {
		return years[0]
	}
	out := DailyEnergy{InOrder: true, Typical: true}
	for i, y := range years {
		out.Days = append(out.Days, y.Days...)
		out.Years += y.Years
		out.Assumed = out.Assumed || y.Assumed
		out.InOrder, out.Typical = out.InOrder && y.InOrder, out.Typical && y.Typical
		if i > 0 {
			out.Source += "; "
		} else {
			out.AirAtM = y.AirAtM
		}
		out.Source += y.Source
	}
	return out
}

// Monthly returns the mean day of each month of a year day by day. Free energy
// is that of a second year without hills.
func (e DailyEnergy) Monthly(free DailyEnergy) MonthlyEnergy {
	out := MonthlyEnergy{Source: e.Source, Assumed: e.Assumed, Hourly: e.InOrder}
	for i := range out.Months {
		m := &out.Months[i]
		m.Month = time.Month(i + 1)
		days := 0.0
		var byHour [24]float64
		for k := range e.Days {
			d := &e.Days[k]
			if d.Month != m.Month {
				continue
			}
			days++
			m.PlaneWhM2, m.YieldWhPerWp = m.PlaneWhM2+d.PlaneWhM2(), m.YieldWhPerWp+d.YieldWhPerWp()
			if k < len(free.Days) {
				m.FreeWhM2 += free.Days[k].PlaneWhM2()
			}
			for h := range d.Hours {
				m.GlobalWhM2 += d.Hours[h].GlobalWM2
				byHour[h] += d.Hours[h].AirK
			}
		}
		if days == 0 {
			continue
		}
		for _, v := range []*float64{&m.PlaneWhM2, &m.YieldWhPerWp, &m.FreeWhM2, &m.GlobalWhM2} {
			*v /= days
		}
		m.AirLowK, m.AirHighK = byHour[0]/days, byHour[0]/days
		for _, sumK := range byHour {
			m.AirK += sumK / days / 24
			m.AirLowK, m.AirHighK = min(m.AirLowK, sumK/days), max(m.AirHighK, sumK/days)
		}
	}
	return out
}
