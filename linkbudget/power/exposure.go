package power

import (
	"errors"
	"fmt"
	"slices"

	"github.com/polereach/polereach/terrain/fault"
)

// Air is the air of one day, and the sun on the box.
type Air struct {
	Month int // 1 to 12
	// HourC are the temperatures of the air in the hours of DaySun, degrees C.
	HourC [24]float64
	// PeakWm2 is the irradiance of the hottest hour, W/m2 across the rays.
	PeakWm2 float64
}

// MeanC returns the mean of the hours.
func (a *Air) MeanC() float64 {
	sum := 0.0
	for _, c := range a.HourC {
		sum += c
	}
	return sum / HoursPerDay
}

// MinC returns the coldest hour.
func (a *Air) MinC() float64 { return slices.Min(a.HourC[:]) }

// MaxC returns the warmest hour.
func (a *Air) MaxC() float64 { return slices.Max(a.HourC[:]) }

// DaySun is the sun on a panel through one day, after the hills: kWh/m2 in each
// hour, hour 0 from midnight. 1 kWh/m2 is one watt hour per peak watt before
// derates.
type DaySun [24]float64

// KWhM2 returns the sum of the day.
func (d DaySun) KWhM2() float64 {
	sum := 0.0
	for _, v := range d {
		sum += v
	}
	return sum
}

// Exposure is what sun and air do at one spot, hour by hour, for as many days as there are in Air;
// a year is 365. The days are followed as they stand, and the last is followed by the first.
// Nothing in it depends on the node.
type Exposure struct {
	Air []Air
	// Sun gives the sun on a panel facing that way, one entry for each day of
	// Air. It is called for planes of the node and for planes that advice tries.
	Sun func(Plane) ([]DaySun, error)
	// Basis says what the days are and what they cannot show, a clause that is
	// told with the verdict.
	Basis     string
	AltitudeM float64
	// Unknown is why the sun here cannot be told, such as missing terrain; then
	// nothing else is looked at and the verdict is Unknown.
	Unknown string
}

// mostPeakWm2 bounds the sun of an hour: more than falls in outside the air.
const mostPeakWm2 = 1500

// maxDays bounds a survey; 40 years are more than any weather file holds.
const maxDays = 40 * 366

// Validate returns every fault of the air at once, or nil. Sun is judged as it
// is called.
func (e Exposure) Validate() error {
	if e.Unknown != "" {
		return nil
	}
	errs := []error{countFault("days", len(e.Air), 1, maxDays), altitudeFault(e.AltitudeM)}
	if e.Sun == nil {
		errs = append(errs, fault.Input("sun: none given"))
	}
	const most = 10 // a broken file must not flood the screen
	faulty := 0
	for i := range e.Air {
		a := &e.Air[i]
		err := errors.Join(countFault("month", a.Month, 1, 12),
			rangeFault("peak irradiance in W/m2", a.PeakWm2, 0, mostPeakWm2))
		for h, c := range a.HourC {
			if !(c >= -90 && c <= 70) {
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
	return faultsOf("exposure", errs...)
}

func altitudeFault(m float64) error { return rangeFault("altitude in m", m, -500, 9000) }

// sunOn calls Sun and checks what it gives.
func (e Exposure) sunOn(p Plane) ([]DaySun, error) {
	days, err := e.Sun(p)
	if err != nil {
		return nil, fmt.Errorf("sun on a panel of tilt %g, azimuth %g: %w", p.TiltDeg, p.AzimuthDeg, err)
	}
	if len(days) != len(e.Air) {
		return nil, fault.Input("sun on a panel: found %d days, want %d as in Air", len(days), len(e.Air))
	}
	for i := range days {
		for h, v := range days[i] {
			if !(v >= 0 && v <= 2) {
				return nil, fault.Input("sun on a panel, day %d, hour %d: found %g, allowed 0 to 2 kWh/m2", i+1, h, v)
			}
		}
	}
	return days, nil
}
