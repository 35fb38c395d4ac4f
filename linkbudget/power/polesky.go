package power

import (
	"fmt"
	"math"
	"time"

	"github.com/polereach/polereach/terrain/sun"
)

// Weather gives the sun on a panel at a site: sun.Daily and sun.Monthly with a
// climate, or a weather file replayed.
type Weather struct {
	Daily   func(sun.Site, sun.Panel) (sun.DailyEnergy, error)
	Monthly func(sun.Site, sun.Panel) (sun.MonthlyEnergy, error)
}

// WeatherOf is the weather of a climate of twelve months.
func WeatherOf(c sun.Climate) Weather {
	return Weather{
		Daily:   func(s sun.Site, p sun.Panel) (sun.DailyEnergy, error) { return sun.Daily(s, p, c) },
		Monthly: func(s sun.Site, p sun.Panel) (sun.MonthlyEnergy, error) { return sun.Monthly(s, p, c) },
	}
}

// WeatherOfFile is the weather of a file, replayed hour by hour.
func WeatherOfFile(f *sun.Weather) Weather {
	daily := func(s sun.Site, p sun.Panel) (sun.DailyEnergy, error) { return sun.Replay(s, p, f) }
	return Weather{Daily: daily, Monthly: func(s sun.Site, p sun.Panel) (sun.MonthlyEnergy, error) {
		year, err := daily(s, p)
		if err != nil {
			return sun.MonthlyEnergy{}, err
		}
		free, err := daily(sun.Site{At: s.At}, p)
		if err != nil {
			return sun.MonthlyEnergy{}, err
		}
		hours, err := sun.SunHours(s, pathYear)
		return year.Monthly(free, hours), err
	}}
}

const zeroC = 273.15 // kelvin

// ExposureOf turns the weather at a site into the plain numbers of Survey. The
// hottest hour's sun is the brightest of a measured day; for monthly means it is
// that of a clear noon (Haurwitz), as the hottest hour is a clear one.
func ExposureOf(site sun.Site, w Weather, altitudeM float64) (Exposure, error) {
	first, err := w.Daily(site, sun.Panel{})
	if err != nil {
		return Exposure{}, err
	}
	e := Exposure{DayOrder: first.InOrder, NoClimate: first.Assumed, AltitudeM: altitudeM}
	if !e.DayOrder {
		e.HotSpellK = MeanHotSpellK
	}
	for i := range first.Days {
		d := &first.Days[i]
		a := Air{Month: int(d.Month), MinC: math.Inf(1), MaxC: math.Inf(-1)}
		if e.DayOrder {
			a.HourC = new([24]float64)
		}
		for i, h := range d.Hours {
			c := h.AirK - zeroC
			if a.HourC != nil {
				a.HourC[i] = c
			}
			a.MeanC += c / 24
			a.MinC, a.MaxC = min(a.MinC, c), max(a.MaxC, c)
			a.PeakWm2 = max(a.PeakWm2, h.GlobalWM2)
		}
		a.MeanC = max(a.MinC, min(a.MaxC, a.MeanC)) // against the last bit of the sum
		if !e.DayOrder {
			noonDeg := 90 - math.Abs(site.At.Lat()-declinationDeg(i+1))
			a.PeakWm2 = max(a.PeakWm2, sun.Haurwitz(noonDeg))
		}
		e.Air = append(e.Air, a)
	}
	e.Sun = func(p Plane) ([]DaySun, error) {
		days, err := w.Daily(site, sun.Panel{TiltDeg: p.TiltDeg, AzimuthDeg: p.AzimuthDeg})
		if err != nil {
			return nil, err
		}
		out := make([]DaySun, len(days.Days))
		for i := range days.Days {
			for h := range out[i] {
				out[i][h] = days.Days[i].Hours[h].PlaneWM2 / 1000
			}
		}
		return out, nil
	}
	return e, nil
}

// declinationDeg is the sun's declination on a day of the year (Cooper 1969;
// Duffie and Beckman 1.6.1a), within half a degree.
func declinationDeg(day int) float64 {
	return 23.45 * math.Sin(2*math.Pi*float64(284+day)/365)
}

// pathYear stands for every year; the sun on a date moves by up to 0.2 degrees.
const pathYear = 2025

// SunPaths returns the way of the sun at the solstices and the equinoxes, in
// steps of a quarter of an hour of solar time. A day without sun has no points.
func SunPaths(site sun.Site) ([]SunPath, error) {
	paths := []SunPath{
		{Name: "June solstice", Month: 6, Day: 21}, {Name: "equinoxes", Month: 3, Day: 20}, {Name: "December solstice", Month: 12, Day: 21},
	}
	for i := range paths {
		p := &paths[i]
		noon := time.Date(pathYear, time.Month(p.Month), p.Day, 12, 0, 0, 0, time.UTC).Add(hours(-site.At.Lon() / 15))
		at, err := sun.At(noon, site.At, sun.Air{})
		if err != nil {
			return nil, fmt.Errorf("sun path: %w", err)
		}
		noon = noon.Add(hours(-at.HourAngleDeg / 15))
		for quarter := range 97 {
			h := float64(quarter) / 4
			at, err := sun.At(noon.Add(hours(h-12)), site.At, sun.Air{})
			if err != nil {
				return nil, fmt.Errorf("sun path: %w", err)
			}
			if at.ElevDeg > -1 {
				p.Points = append(p.Points, SunPoint{at.AzimuthDeg, at.ElevDeg, h})
			}
		}
	}
	return paths, nil
}

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }
