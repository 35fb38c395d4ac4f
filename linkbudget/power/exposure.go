package power

import (
	"errors"
	"fmt"
)

// Air is the air of one day, and the sun on the box.
type Air struct {
	Month int // 1 to 12
	// MeanC, MinC and MaxC are air temperatures in degrees C.
	MeanC, MinC, MaxC float64
	// PeakWm2 is the irradiance of the hottest hour, W/m2 across the rays.
	PeakWm2 float64
	// HourC are the measured temperatures of the hours of DaySun; nil lays a wave
	// of half the range about the mean, warmest at 15 h.
	HourC *[24]float64
}

// DaySun is the sun on a panel through one day, after the hills: kWh/m2 in each
// hour of local solar time, hour 0 from midnight. 1 kWh/m2 is one watt hour per
// peak watt before derates.
type DaySun [24]float64

// KWhM2 returns the sum of the day.
func (d DaySun) KWhM2() float64 {
	sum := 0.0
	for _, v := range d {
		sum += v
	}
	return sum
}

// Exposure is what sun and air do at one spot, day by day, for as many days as
// there are in Air; a year is 365. Nothing in it depends on the node.
type Exposure struct {
	Air []Air
	// Sun gives the sun on a panel facing that way, one entry for each day of
	// Air. It is called for planes of the node and for planes that advice tries.
	Sun func(Plane) ([]DaySun, error)
	// DayOrder says that the days stand as a year brought them (a weather file).
	// Otherwise only the mean day of each month is taken from them, laid out by
	// DarkSpellOrder, and running empty on that is no proof of death.
	DayOrder bool
	// NoClimate says that no climate of the place was given and a cautious
	// default stands in: more reserve is asked.
	NoClimate bool
	AltitudeM float64
	// HotSpellK is how much hotter than MaxC the hottest hour is taken to be for
	// the heat in the box: 0 for measured days, MeanHotSpellK for monthly means.
	HotSpellK float64
	// Unknown is why the sun here cannot be told, such as missing terrain; then
	// nothing else is looked at and the verdict is Unknown.
	Unknown string
}

// MeanHotSpellK is what the hottest hour of a summer lies above the mean warmest
// hour of its month: 6 to 10 K in the middle latitudes (own judgement; a weather
// file knows better).
const MeanHotSpellK = 8.0

// maxDays bounds a survey; 40 years are more than any weather file holds.
const maxDays = 40 * 366

// Validate returns every fault of the air at once, or nil. Sun is judged as it
// is called.
func (e Exposure) Validate() error {
	if e.Unknown != "" {
		return nil
	}
	errs := []error{countFault("days", len(e.Air), 1, maxDays), rangeFault("altitude in m", e.AltitudeM, -500, 9000), rangeFault("hot spell in K", e.HotSpellK, 0, 30)}
	if e.Sun == nil {
		errs = append(errs, errors.New("sun: none given"))
	}
	const most = 10 // a broken file must not flood the screen
	faulty := 0
	for i, a := range e.Air {
		err := errors.Join(
			countFault("month", a.Month, 1, 12),
			rangeFault("mean in C", a.MeanC, -90, 70), rangeFault("minimum in C", a.MinC, -90, 70), rangeFault("maximum in C", a.MaxC, -90, 70),
			rangeFault("peak irradiance in W/m2", a.PeakWm2, 0, 1500))
		if err == nil && !(a.MinC <= a.MeanC && a.MeanC <= a.MaxC) {
			err = fmt.Errorf("temperatures: found minimum %g, mean %g, maximum %g C, want rising", a.MinC, a.MeanC, a.MaxC)
		}
		if err == nil && a.HourC != nil {
			for h, c := range a.HourC {
				err = errors.Join(err, rangeFault(fmt.Sprintf("hour %d in C", h), c, -90, 70))
			}
		}
		if err == nil {
			continue
		}
		if faulty++; faulty <= most {
			errs = append(errs, fmt.Errorf("day %d: %w", i+1, err))
		}
	}
	if faulty > most {
		errs = append(errs, fmt.Errorf("and %d more days", faulty-most))
	}
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("exposure: %w", err)
	}
	return nil
}

// sunOn calls Sun and checks what it gives.
func (e Exposure) sunOn(p Plane) ([]DaySun, error) {
	days, err := e.Sun(p)
	if err != nil {
		return nil, fmt.Errorf("sun on a panel of tilt %g, azimuth %g: %w", p.TiltDeg, p.AzimuthDeg, err)
	}
	if len(days) != len(e.Air) {
		return nil, fmt.Errorf("sun on a panel: found %d days, want %d as in Air", len(days), len(e.Air))
	}
	for i, d := range days {
		for h, v := range d {
			if !(v >= 0 && v <= 2) {
				return nil, fmt.Errorf("sun on a panel, day %d, hour %d: found %g, allowed 0 to 2 kWh/m2", i+1, h, v)
			}
		}
	}
	if !e.DayOrder {
		days = e.spread(days)
	}
	return days, nil
}

// spread lays the mean day of each month out as one dark spell and brighter
// days. Days in a row with the same month are one month.
func (e Exposure) spread(days []DaySun) []DaySun {
	out := make([]DaySun, len(days))
	for first := 0; first < len(days); {
		end := first + 1
		for end < len(days) && e.Air[end].Month == e.Air[first].Month {
			end++
		}
		var mean DaySun
		for _, d := range days[first:end] {
			for h, v := range d {
				mean[h] += v / float64(end-first)
			}
		}
		for i, factor := range DarkSpellOrder(end - first) {
			for h, v := range mean {
				out[first+i][h] = v * factor
			}
		}
		first = end
	}
	return out
}
