package power

import (
	"fmt"
	"math"
	"time"

	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/sun"
)

// Weather gives the sun on a panel at a site: sun.Daily and sun.Monthly with a
// climate, or a weather file replayed. Its functions may be called from several goroutines.
type Weather struct {
	Daily   func(sun.Site, sun.Panel) (sun.DailyEnergy, error)
	Monthly func(sun.Site, sun.Panel) (sun.MonthlyEnergy, error)
	// Ends, where not empty, says that the weather is not known, and holds the dullest and harshest
	// and the brightest and mildest that it may be: there is no verdict then, only what it could
	// be. AirOnly says that they differ in the air alone: then a verdict that holds at both ends
	// stands.
	Ends    []Weather
	AirOnly bool
}

// hardest is the weather in which a verdict that stands is told.
func (w Weather) hardest() Weather {
	if w.AirOnly {
		return w.Ends[0]
	}
	return w
}

// WeatherOfMeans is WeatherOf for a place at a latitude: where the climate does
// not state the air of every month, the ends of what it may be come with it.
func WeatherOfMeans(c sun.Climate, latDeg float64) Weather {
	w := WeatherOf(c)
	if !c.AirKnown() {
		harsh, mild := c.AirRange(latDeg)
		w.Ends, w.AirOnly = []Weather{WeatherOf(harsh), WeatherOf(mild)}, true
	}
	return w
}

// WeatherUnknown is the default weather of a latitude at a height above the sea.
func WeatherUnknown(latDeg, groundM float64) Weather {
	w := WeatherOf(sun.DefaultClimate(latDeg, groundM))
	dull, bright := sun.DefaultRange(latDeg, groundM)
	w.Ends = []Weather{WeatherOf(dull), WeatherOf(bright)}
	return w
}

// WeatherOf is the weather of a climate of twelve months.
func WeatherOf(c sun.Climate) Weather {
	return Weather{
		Daily:   func(s sun.Site, p sun.Panel) (sun.DailyEnergy, error) { return sun.Daily(s, p, c) },
		Monthly: func(s sun.Site, p sun.Panel) (sun.MonthlyEnergy, error) { return sun.Monthly(s, p, c) },
	}
}

// WeatherOfFiles is the weather of files, a year each, replayed hour by hour one
// after the other.
func WeatherOfFiles(files ...*sun.Weather) Weather {
	daily := func(s sun.Site, p sun.Panel) (sun.DailyEnergy, error) {
		var years []sun.DailyEnergy
		for _, f := range files {
			year, err := sun.Replay(s, p, f)
			if err != nil {
				return sun.DailyEnergy{}, err
			}
			years = append(years, year)
		}
		return sun.Joined(years), nil
	}
	return Weather{Daily: daily, Monthly: func(s sun.Site, p sun.Panel) (sun.MonthlyEnergy, error) {
		year, err := daily(s, p)
		if err != nil {
			return sun.MonthlyEnergy{}, err
		}
		free, err := daily(sun.Site{At: s.At}, p)
		if err != nil {
			return sun.MonthlyEnergy{}, err
		}
		return year.Monthly(free), nil
	}}
}

const zeroC = 273.15 // kelvin

// ExposureOf turns the weather at a site into the plain numbers of Survey. The hottest hour's sun,
// beam and sky across the rays, is the brightest of a measured day; for monthly means that of a
// clear noon. The error is that of w, or of a w without Daily.
func ExposureOf(site sun.Site, w Weather, altitudeM float64) (Exposure, error) {
	if w.Daily == nil {
		return Exposure{}, fault.Input("exposure: no weather given")
	}
	if err := altitudeFault(altitudeM); err != nil {
		return Exposure{}, fmt.Errorf("exposure: %w", err)
	}
	first, err := w.Daily(site, sun.Panel{})
	if err != nil {
		return Exposure{}, err
	}
	e := Exposure{AltitudeM: altitudeM, Air: make([]Air, len(first.Days)), Basis: basis(first) + beside(first, altitudeM)}
	for i := range first.Days {
		d, a := &first.Days[i], &e.Air[i]
		a.Month = int(d.Month)
		for i, h := range d.Hours {
			a.HourC[i] = h.AirK - zeroC
			if first.InOrder {
				a.PeakWm2 = min(mostPeakWm2, max(a.PeakWm2, h.GlobalWM2, h.BeamWM2+h.DiffuseWM2))
			}
		}
		if !first.InOrder {
			a.PeakWm2 = clearNoonWm2(sun.NoonElevDeg(site.At.Lat(), i+1), altitudeM)
		}
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

// clearNoonWm2 is the irradiance across the rays under a cloudless sky, and no less
// than that on level ground.
func clearNoonWm2(elevDeg, altitudeM float64) float64 {
	const plainTurbidity = 3
	clear := sun.Ineichen(elevDeg, altitudeM, plainTurbidity, sun.SolarConstantWM2)
	return max(sun.Haurwitz(elevDeg), clear.BeamWM2+clear.DiffuseWM2)
}

// basis says what the days are and what they cannot show.
func basis(year sun.DailyEnergy) string {
	switch {
	case !year.InOrder:
		return "from monthly means, with a dark week and a cold spell of usual strength in each month; a harder winter " +
			"than usual is not in them"
	case year.Typical && year.Years == 1:
		return "of a typical year, which shows typical weather rather than extreme weather (so its makers say): a hard " +
			"winter is worse"
	case year.Typical:
		return fmt.Sprintf("of %d typical years, which show typical weather rather than extreme weather (so their makers "+
			"say): a hard winter is worse", year.Years)
	case year.Years > 1:
		return fmt.Sprintf("of %d years of weather; a winter that comes more seldom is not in them", year.Years)
	}
	return "of a single year of weather; a harder winter is not in it"
}

// beside says what else is not in the days at a pole of that height: snow, where
// there is frost, and the cold of a higher place.
func beside(year sun.DailyEnergy, altitudeM float64) string {
	text := ""
	coldestK := math.Inf(1)
	for i := range year.Days {
		for h := range year.Days[i].Hours {
			coldestK = min(coldestK, year.Days[i].Hours[h].AirK)
		}
	}
	if coldestK < zeroC && !year.SnowCounted {
		text = "; snow on the panel is not modelled"
	}
	const lapseKPerM, leastM = 0.0065, 150.0 // standard atmosphere; half a kelvin to a whole one
	if year.AirAtM == nil && !year.Assumed {
		text += "; the height that the air is of is not stated: the pole is about 0.65 K colder for every 100 m that it " +
			"stands higher"
	}
	if year.AirAtM != nil && altitudeM-*year.AirAtM > leastM {
		higherM := altitudeM - *year.AirAtM
		text += fmt.Sprintf("; the air is that of a place %.0f m lower, about %.1f K warmer than at the pole", higherM,
			lapseKPerM*higherM)
	}
	return text
}

// pathYear stands for every year; the sun on a date moves by up to 0.2 degrees.
const pathYear = 2025

// SunPath is the way of the sun over the sky on one day.
type SunPath struct {
	Name       string // such as "December solstice"
	Month, Day int
	Points     []SunPoint // from rise to set
}

// SunPoint is where the sun stands: azimuth clockwise from north, apparent
// elevation, both in degrees, at an hour of local solar time.
type SunPoint struct{ AzimuthDeg, ElevDeg, SolarH float64 }

// SunPaths returns the way of the sun at the solstices and the equinoxes, in
// steps of a quarter of an hour of solar time. A day without sun has no points.
func SunPaths(site sun.Site) ([]SunPath, error) {
	paths := []SunPath{{"June solstice", 6, 21, nil}, {"equinoxes", 3, 20, nil}, {"December solstice", 12, 21, nil}}
	for i := range paths {
		p := &paths[i]
		noon := time.Date(pathYear, time.Month(p.Month), p.Day, 12, 0, 0, 0, time.UTC).Add(hours(-site.At.Lon() / 15))
		at, err := sun.At(noon, site.At, sun.Air{})
		noon = noon.Add(hours(-at.HourAngleDeg / 15))
		for h := 0.0; h <= 24 && err == nil; h += 0.25 {
			if at, err = sun.At(noon.Add(hours(h-12)), site.At, sun.Air{}); err == nil && at.ElevDeg > -1 {
				p.Points = append(p.Points, SunPoint{at.AzimuthDeg, at.ElevDeg, h})
			}
		}
		if err != nil {
			return nil, fmt.Errorf("sun path: %w", err)
		}
	}
	return paths, nil
}

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }
