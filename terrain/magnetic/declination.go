package magnetic

import (
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// Model names what the figures are of.
const Model = "World Magnetic Model 2025"

// The model says nothing before its epoch and after five years.
var (
	ValidFrom = time.Date(epoch, 1, 1, 0, 0, 0, 0, time.UTC)
	ValidTo   = time.Date(epoch+5, 1, 1, 0, 0, 0, 0, time.UTC)
)

// Zone tells how far a compass can be trusted, by the horizontal intensity of the field.
type Zone int

// The zones of the report, section "Blackout Zones": a compass is unreliable below 2000 nT,
// and less accurate below 6000 nT, round the magnetic poles.
const (
	Usable Zone = iota
	Caution
	Blackout
)

// String is usable, caution or blackout.
func (z Zone) String() string {
	if z < Usable || z > Blackout {
		return fmt.Sprintf("Zone(%d)", int(z))
	}
	return [...]string{"usable", "caution", "blackout"}[z]
}

func zoneOf(horizontalNT float64) Zone {
	switch {
	case horizontalNT < 2000:
		return Blackout
	case horizontalNT < 6000:
		return Caution
	}
	return Usable
}

// Declination returns how far magnetic north lies east of true north, degrees above -180 to
// 180, and whether a compass can be trusted there: a magnetic bearing is the true one less
// the declination. at is longitude and latitude on WGS 84, degrees, -180 to 180 and -90 to 90;
// heightM is above the ellipsoid, -1,000 to 850,000 m, and a kilometre of it turns the needle
// by less than 0.03 degrees where a compass is usable. The error, fault.ErrInput, is of a
// place, a height, or a date outside ValidFrom to ValidTo.
//
// NOAA/NCEI and BGS, The US/UK World Magnetic Model for 2025-2030, section 1: field from the
// coefficients, declination eq (19).
func Declination(at orb.Point, heightM float64, when time.Time) (deg float64, zone Zone, err error) {
	err = errors.Join(fault.Range("lon_deg", at.Lon(), -180, 180, "deg"), fault.Range("lat_deg", at.Lat(), -90, 90, "deg"),
		fault.Range("height above the ellipsoid", heightM, -1000, 850_000, "m"))
	if when.Before(ValidFrom) || when.After(ValidTo) {
		err = errors.Join(err, fault.Found("date", when.Format(time.DateOnly), fmt.Sprintf("%s to %s, in which the %s holds",
			ValidFrom.Format(time.DateOnly), ValidTo.Format(time.DateOnly), Model)))
	}
	if err != nil {
		return 0, Usable, err
	}
	model, err := coefficients()
	if err != nil {
		return 0, Usable, err
	}
	f := model.field(at, heightM, decimalYear(when)-epoch)
	return math.Atan2(f.eastNT, f.northNT) * 180 / math.Pi, zoneOf(math.Hypot(f.northNT, f.eastNT)), nil
}

func decimalYear(when time.Time) float64 {
	when = when.UTC()
	begin := time.Date(when.Year(), 1, 1, 0, 0, 0, 0, time.UTC)
	return float64(when.Year()) + when.Sub(begin).Hours()/begin.AddDate(1, 0, 0).Sub(begin).Hours()
}
