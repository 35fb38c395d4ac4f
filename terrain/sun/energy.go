package sun

import (
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Site is where a panel stands and what it sees of the sky.
type Site struct {
	// At is the place, degrees, longitude first.
	At orb.Point
	// Skyline is the horizon round the panel. The zero Skyline is a free, level one.
	Skyline terrain.Skyline
	// Worst takes the skyline as high as its unknown ground could make it
	// (MostDeg) instead of as high as it is known to be (ElevDeg).
	Worst bool
	// Arcs, where given, keeps the ways of the sun for other sites of the same latitude.
	Arcs *Arcs
}

// Panel is the plane a panel lies in and how its cells take heat. Its size and
// the losses behind it belong to the power budget, not here.
type Panel struct {
	// TiltDeg is the angle from the horizontal: 0 looks up, 90 stands upright,
	// up to 180 looks down.
	TiltDeg float64
	// AzimuthDeg is the direction the face looks, degrees clockwise from north.
	AzimuthDeg float64
	// NOCTK is the nominal operating cell temperature (IEC 61215), kelvin. 0
	// means 318.15 (45 °C).
	NOCTK float64
	// PowerPerK is the relative change of power per kelvin. 0 means -0.004.
	PowerPerK float64
	// GroundReflectance is that of the ground before the panel, 0 to 1. 0 means
	// 0.2 (bare ground, forest).
	GroundReflectance float64
}

// Hour is one hour on the panel: means over the hour.
type Hour struct {
	// PlaneWM2 is the irradiance on the panel, hills and obstacles counted, W/m².
	PlaneWM2 float64
	// YieldWPerWp is the power of a panel of 1 Wp at its cell temperature, W,
	// before every other loss. The gain of cold cells is not counted.
	YieldWPerWp float64
	// GlobalWM2 is the irradiance on open level ground, W/m², DiffuseWM2 what of it
	// comes from the sky; BeamWM2 that of the beam square to the sun as far as the
	// hills let it through.
	GlobalWM2, DiffuseWM2, BeamWM2 float64
	// AirK is the temperature of the air, kelvin.
	AirK float64
}

// Day is one day on the panel. Hour h runs from h to h+1 o'clock, in solar time
// for a model year, in local standard time for a weather file.
type Day struct {
	Month      time.Month
	DayOfMonth int
	Hours      [24]Hour
}

// PlaneWhM2 returns the energy on the panel that day, Wh/m².
func (d *Day) PlaneWhM2() float64 {
	return d.sum(func(h *Hour) float64 { return h.PlaneWM2 })
}

func (d *Day) sum(of func(*Hour) float64) float64 {
	sum := 0.0
	for i := range d.Hours {
		sum += of(&d.Hours[i])
	}
	return sum
}

// YieldWhPerWp returns the energy of a panel of 1 Wp that day, Wh: the hours of
// full sun, less what heat takes.
func (d *Day) YieldWhPerWp() float64 {
	return d.sum(func(h *Hour) float64 { return h.YieldWPerWp })
}

// DailyEnergy is a year day by day, 365 days from 1 January, or several.
type DailyEnergy struct {
	Days []Day
	// Source says where the weather comes from. Assumed says that it is the built-in default by
	// latitude, nothing measured; InOrder that the days follow each other as they did in the
	// weather file. A model year holds the right days in each month, in an order with a dark week
	// and a cold spell.
	Source  string
	Assumed bool
	InOrder bool
	// Years is how many years the days are of; Typical says that the months of a
	// year in order were chosen from many, so that extremes are left out.
	Years   int
	Typical bool
	// SnowCounted says that the snow which the climate states was taken off.
	SnowCounted bool
	// AirAtM is the height above the sea that the air is of, metres; nil: not known.
	AirAtM *float64
}

// MonthEnergy is the mean day of a month.
type MonthEnergy struct {
	Month time.Month
	// GlobalWhM2 is the energy on open level ground, FreeWhM2 that on the panel
	// without hills, PlaneWhM2 with them, Wh/m² a day; the last divided by 1000
	// is the hours of full sun a day.
	GlobalWhM2, FreeWhM2, PlaneWhM2 float64
	// YieldWhPerWp is the energy of a panel of 1 Wp a day, Wh, after the loss by
	// cell temperature and before every other loss.
	YieldWhPerWp float64
	// AirK is the mean temperature of the air, kelvin; AirHighK and AirLowK the
	// mean of the warmest and the coldest hour of the day.
	AirK, AirHighK, AirLowK float64
}

// MonthlyEnergy is the mean day of the twelve months, January first. Hourly says
// that it was summed up from hours, SnowCounted that the snow stated was counted.
type MonthlyEnergy struct {
	Months                       [12]MonthEnergy
	Source                       string
	Assumed, Hourly, SnowCounted bool
}
