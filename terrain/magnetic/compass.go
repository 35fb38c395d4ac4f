package magnetic

import (
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"
)

// Compass is what can be told of a compass at a place in a month. The zero value tells nothing.
type Compass struct {
	// DeclinationDeg is how far magnetic north lies east of true north, and Zone whether
	// that can be trusted; both mean something where Unknown is "".
	DeclinationDeg float64
	Zone           Zone

	month time.Time
	err   error
}

// NewCompass asks [Declination] for the ellipsoid at a place, longitude and latitude in
// degrees, in the middle of the month in which a date lies: what is told of a plan then
// stays the same for a month, in which declinations move by hundredths of a degree. What it
// refuses is Unknown. The zero time gives the zero value.
func NewCompass(at orb.Point, when time.Time) Compass {
	if when.IsZero() {
		return Compass{}
	}
	c := Compass{month: time.Date(when.Year(), when.Month(), 15, 0, 0, 0, 0, time.UTC)}
	c.DeclinationDeg, c.Zone, c.err = Declination(at, 0, c.month)
	return c
}

// Known tells whether BearingDeg means something.
func (c Compass) Known() bool { return !c.month.IsZero() && c.err == nil && c.Zone != Blackout }

// Unknown says why no bearing by compass can be told; "" where one can, or none was asked for.
func (c Compass) Unknown() string {
	switch {
	case c.err != nil && (c.month.Before(ValidFrom) || c.month.After(ValidTo)):
		return fmt.Sprintf("the %s holds from %s to %s, not for %s", Model, ValidFrom.Format(time.DateOnly),
			ValidTo.Format(time.DateOnly), c.Month())
	case c.err != nil:
		return c.err.Error()
	case c.Zone == Blackout:
		return "so near a magnetic pole no compass can be trusted (horizontal field below 2000 nT, " + c.source() + ")"
	}
	return ""
}

// BearingDeg is what a compass shows in a true bearing, degrees, 0 up to but not including
// 360, in tenths: the model is not that good.
func (c Compass) BearingDeg(trueDeg float64) float64 {
	tenths := math.Round(10 * (trueDeg - c.DeclinationDeg))
	return (tenths - 3600*math.Floor(tenths/3600)) / 10 // never -0
}

// Month is the month it is told for, such as 2026-11; "" for the zero value.
func (c Compass) Month() string {
	if c.month.IsZero() {
		return ""
	}
	return c.month.Format("2006-01")
}

func (c Compass) source() string {
	return fmt.Sprintf("%s for %s, valid to %s", Model, c.Month(), ValidTo.Format(time.DateOnly))
}

// Note says where magnetic bearings come from, until when, and what to make of them, or why
// there are none; "" for the zero value.
func (c Compass) Note() string {
	switch {
	case c.month.IsZero():
		return ""
	case !c.Known():
		return "unknown: " + c.Unknown()
	}
	text := c.source() + ", good to half a degree; a compass near steel or a car reads wrong"
	if c.Zone == Caution {
		text += "; so near a magnetic pole the needle is weak and may be off by many degrees"
	}
	return text
}

// Turn is the note of one place, with what makes a magnetic bearing of a true one, such as
// "true + 5.2 deg".
func (c Compass) Turn() string {
	if !c.Known() {
		return c.Note()
	}
	sign := "+"
	if c.DeclinationDeg > 0 {
		sign = "-"
	}
	return fmt.Sprintf("true %s %.1f deg; %s", sign, math.Abs(c.DeclinationDeg), c.Note())
}

// Worst is the compass of a list of which the least can be told; the zero value of none.
func Worst(list ...Compass) (worst Compass) {
	for _, c := range list {
		if worst.month.IsZero() || worst.Known() && !c.Known() || worst.Known() == c.Known() && c.Zone > worst.Zone {
			worst = c
		}
	}
	return worst
}
