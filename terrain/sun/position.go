package sun

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"
	"github.com/soniakeys/meeus/v3/base"
	"github.com/soniakeys/meeus/v3/sidereal"
	"github.com/soniakeys/meeus/v3/solar"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

const deg = math.Pi / 180

// Position is where the sun's centre stands.
type Position struct {
	// AzimuthDeg is clockwise from north, 0 up to but not including 360.
	AzimuthDeg float64
	// ElevDeg is the elevation as seen through the air, TrueElevDeg that without
	// refraction, both with parallax, degrees over the level of the eye.
	ElevDeg, TrueElevDeg float64
	// DeclinationDeg and RightAscensionDeg are apparent and geocentric;
	// HourAngleDeg is 0 when the sun is due south or north, below 0 before, -180
	// to 180.
	DeclinationDeg, RightAscensionDeg, HourAngleDeg float64
	// DistanceAU is the distance of the sun in astronomical units.
	DistanceAU float64
}

// Air is what bends the light: pressure and temperature at the eye.
type Air struct {
	// PressurePa and TemperatureK: 0 means 101000 Pa and 283.15 K.
	PressurePa, TemperatureK float64
}

// The years the low-accuracy sun is used for. Beyond them, the difference of
// universal to dynamic time is no longer about a minute.
const firstYear, lastYear = 1900, 2100

// deltaTS is dynamic less universal time in the 2020s, seconds; being off by a
// minute moves the sun by less than 0.001°.
const deltaTS = 69

// At returns where the sun stands at a moment, seen from a place (degrees, longitude first), within
// 0.01° (Meeus, Astronomical Algorithms, 2nd edition, chapters 12, 13 and 25). The years are 1900
// to 2100; the error tells every argument that is wrong.
func At(t time.Time, at orb.Point, air Air) (Position, error) {
	if err := checkMoment(t, at); err != nil {
		return Position{}, err
	}
	air.PressurePa = cmp.Or(air.PressurePa, standardAir.PressurePa)
	air.TemperatureK = cmp.Or(air.TemperatureK, standardAir.TemperatureK)
	if !(air.PressurePa > 0 && air.PressurePa <= 120e3) || !(air.TemperatureK >= 150 && air.TemperatureK <= 350) {
		return Position{}, fault.Input("sun: air of %g Pa and %g K, must be within 0..120000 Pa and 150..350 K",
			air.PressurePa, air.TemperatureK)
	}
	p := positionAt(julianDay(t), at)
	p.ElevDeg = p.TrueElevDeg + refractionDeg(p.TrueElevDeg, air)
	return p, nil
}

func checkMoment(t time.Time, at orb.Point) error {
	var errs []error
	if y := t.UTC().Year(); y < firstYear || y > lastYear {
		errs = append(errs, fault.Input("sun: year %d, must be %d to %d", y, firstYear, lastYear))
	}
	if err := terrain.CheckPlace(at); err != nil {
		errs = append(errs, fmt.Errorf("sun: %w", err))
	}
	return errors.Join(errs...)
}

// julianDay returns the Julian day of a moment in universal time (Meeus chapter 7).
func julianDay(t time.Time) float64 {
	return float64(t.Unix())/86400 + float64(t.Nanosecond())/86400e9 + 2440587.5
}

// equatorial is the sun seen from the centre of the earth.
type equatorial struct{ rightAscensionDeg, declinationDeg, siderealDeg, distanceAU float64 }

// equatorialAt returns the apparent sun (Meeus 25.5 to 25.8) and the apparent
// sidereal time at Greenwich (12.4, with the main term of the nutation).
func equatorialAt(jd float64) equatorial {
	jde := jd + deltaTS/86400.
	century := base.J2000Century(jde)
	ra, dec := solar.ApparentEquatorial(jde)
	node := (125.04 - 1934.136*century) * deg
	const obliquityDeg = 23.44
	return equatorial{
		rightAscensionDeg: ra.Deg(),
		declinationDeg:    dec.Deg(),
		siderealDeg:       sidereal.Mean(jd).Angle().Deg() - 0.00478*math.Sin(node)*math.Cos(obliquityDeg*deg),
		distanceAU:        solar.Radius(century),
	}
}

// positionAt is At without checks and without refraction.
func positionAt(jd float64, at orb.Point) Position { return equatorialAt(jd).seenFrom(at) }

// track is the sun over one day of universal time, for when many moments of it are wanted. Right
// ascension, declination and sidereal time between its ends follow straight lines, which miss by
// less than 0.001°: h²/8 times the second derivative of the declination, at most 23.4° (2π/365)²
// per day².
type track struct {
	day      float64 // Julian day at the start
	from, to equatorial
}

// at returns where the sun stands at a moment, computing a new day if needed.
func (k *track) at(jd float64, at orb.Point) Position {
	if day := math.Floor(jd); day != k.day || k.from.distanceAU == 0 {
		k.day, k.from, k.to = day, equatorialAt(day), equatorialAt(day+1)
		k.to.rightAscensionDeg = k.from.rightAscensionDeg + math.Remainder(k.to.rightAscensionDeg-k.from.rightAscensionDeg,
			360)
		// The earth turns once and a bit more.
		k.to.siderealDeg = k.from.siderealDeg + 360 + math.Remainder(k.to.siderealDeg-k.from.siderealDeg, 360)
	}
	t := jd - k.day
	between := func(a, b float64) float64 { return a + t*(b-a) }
	return equatorial{
		rightAscensionDeg: between(k.from.rightAscensionDeg, k.to.rightAscensionDeg),
		declinationDeg:    between(k.from.declinationDeg, k.to.declinationDeg),
		siderealDeg:       between(k.from.siderealDeg, k.to.siderealDeg),
		distanceAU:        between(k.from.distanceAU, k.to.distanceAU),
	}.seenFrom(at)
}

// seenFrom turns the sun seen from the centre of the earth into the sun seen from
// a place.
func (e equatorial) seenFrom(at orb.Point) Position {
	hourAngleDeg := math.Remainder(e.siderealDeg+at[0]-e.rightAscensionDeg, 360)
	elevDeg, azimuthDeg := horizontal(at[1], e.declinationDeg, hourAngleDeg)
	return Position{
		AzimuthDeg: azimuthDeg,
		// Parallax: the sun is 8.8" lower from the surface (Meeus chapter 40).
		TrueElevDeg:       elevDeg - 0.00244*math.Cos(elevDeg*deg)/e.distanceAU,
		DeclinationDeg:    e.declinationDeg,
		RightAscensionDeg: e.rightAscensionDeg,
		HourAngleDeg:      hourAngleDeg,
		DistanceAU:        e.distanceAU,
	}
}

// horizontal turns declination and hour angle into elevation and azimuth
// clockwise from north (Meeus 13.5 and 13.6, the azimuth turned by 180°).
func horizontal(latDeg, declinationDeg, hourAngleDeg float64) (elevDeg, azimuthDeg float64) {
	sinLat, cosLat := math.Sincos(latDeg * deg)
	sinDec, cosDec := math.Sincos(declinationDeg * deg)
	sinW, cosW := math.Sincos(hourAngleDeg * deg)
	sinElev := sinLat*sinDec + cosLat*cosDec*cosW
	elevDeg = math.Asin(max(-1, min(1, sinElev))) / deg
	azimuthDeg = 180 + math.Atan2(sinW*cosDec, cosW*sinLat*cosDec-sinDec*cosLat)/deg
	if azimuthDeg >= 360 {
		azimuthDeg -= 360
	}
	return elevDeg, azimuthDeg
}

// refractionDeg returns how much the air lifts a true elevation (Sæmundsson,
// Meeus 16.4). Below -1°, where the formula no longer holds, the lift is that
// at -1°.
func refractionDeg(trueElevDeg float64, air Air) float64 {
	h := max(-1, trueElevDeg)
	lift := 1.02 / 60 / math.Tan((h+10.3/(h+5.11))*deg)
	return max(0, lift*(air.PressurePa/101000)*(283/(air.TemperatureK-0.15)))
}

// standardAir is the air refraction is counted with where nobody says.
var standardAir = Air{PressurePa: 101000, TemperatureK: 283.15}
