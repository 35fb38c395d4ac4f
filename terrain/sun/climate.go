package sun

import (
	"errors"
	"fmt"
	"math"
	"time"
)

// ClimateMonth is the weather of the mean day of a month.
type ClimateMonth struct {
	// GlobalWhM2 is the radiation on level open ground, Wh/m² a day.
	GlobalWhM2 float64
	// AirK is the mean temperature of the air, kelvin. 0 means not known: the
	// built-in default by latitude takes its place.
	AirK float64
	// AirSwingK is half the difference of the warmest and the coldest hour of
	// the day. 0 means 5.
	AirSwingK float64
}

// Climate is twelve months of weather, January first.
type Climate struct {
	Months [12]ClimateMonth
	// HeightM is the height of the place above the sea, metres, which the
	// built-in temperatures are taken to.
	HeightM float64
	// Source says where the figures come from. Assumed says that the radiation
	// is the built-in default by latitude, nothing measured.
	Source  string
	Assumed bool
	// ModelFactor is what the panel is taken to get of what the model gives,
	// above 0 to 1; the model runs high in dull winters. 0 means 0.85 for
	// assumed radiation and in months with a clearness index below 0.35, else
	// 0.95.
	ModelFactor float64
}

const (
	dullClearness = 0.35
	dullFactor    = 0.85
	modelFactor   = 0.95
	airSwingK     = 5
)

// factor is the model factor of a month with clearness index kt.
func (c *Climate) factor(kt float64) float64 {
	switch {
	case c.ModelFactor != 0:
		return c.ModelFactor
	case c.Assumed || kt < dullClearness:
		return dullFactor
	}
	return modelFactor
}

// ClimateFromClearness returns the climate of a latitude whose radiation is, in
// each month, the given part of that outside the air (0 to 0.9).
func ClimateFromClearness(latDeg float64, clearness [12]float64) Climate {
	c := Climate{Source: "clearness index"}
	for m := range c.Months {
		c.Months[m].GlobalWhM2 = clearness[m] * outsideOfMonth(latDeg, m)
	}
	return c
}

// DefaultClimate returns what is assumed where no weather is known, set low on
// purpose: no table of the monthly clearness index by latitude is published.
//
// The clearness index is 0.25 from 45° of latitude on, 0.30 from 35°, 0.40 from
// 25°, all the year. From 10° to 25° it is 0.35 in the six months round the high
// sun, when the rain falls, else 0.45, and 0.35 throughout below 10°, where
// there are two rainy seasons. In London it is 0.25 in December. The air is 28 °C
// at the equator, 0.0085 K colder for the square of each degree of latitude and
// 6.5 K colder for each 1000 m; January and July differ from the mean by 0.27 K
// per degree. That is a rough fit made here; a coast is milder, the inside of a
// continent harsher.
func DefaultClimate(latDeg, heightM float64) Climate {
	var kt [12]float64
	for m := range kt {
		kt[m] = defaultClearness(latDeg, time.Month(m+1))
	}
	c := ClimateFromClearness(latDeg, kt)
	c.HeightM, c.Assumed = heightM, true
	c.Source = "built-in default by latitude, no climate data"
	return c
}

func defaultClearness(latDeg float64, month time.Month) float64 {
	abs := math.Abs(latDeg)
	switch {
	case abs >= 45:
		return 0.25
	case abs >= 35:
		return 0.30
	case abs >= 25:
		return 0.40
	case abs < 10:
		return 0.35
	}
	northernSummer := month >= time.May && month <= time.October
	if northernSummer == (latDeg > 0) {
		return 0.35
	}
	return 0.45
}

// defaultAirK is the built-in mean temperature of a month (0 to 11).
func defaultAirK(latDeg, heightM float64, month int) float64 {
	abs := math.Abs(latDeg)
	meanK := 273.15 + 28 - 0.0085*abs*abs - 0.0065*heightM
	sinceWarmest := float64(month - 6) // July
	if latDeg < 0 {
		sinceWarmest += 6
	}
	return meanK + 0.27*abs*math.Cos(sinceWarmest*30*deg)
}

// air returns the mean temperature of a month and its daily swing.
func (c *Climate) air(latDeg float64, month int) (meanK, swingK float64) {
	m := c.Months[month]
	if m.AirK == 0 {
		m.AirK = defaultAirK(latDeg, c.HeightM, month)
	}
	if m.AirSwingK == 0 {
		m.AirSwingK = airSwingK
	}
	return m.AirK, m.AirSwingK
}

// airAt is the temperature at an hour of solar time: warmest at three.
func airAt(meanK, swingK, hour float64) float64 {
	return meanK + swingK*math.Cos(15*(hour-15)*deg)
}

// outsideOfMonth is the radiation outside the air on the days that stand for a
// month, Wh/m² a day.
func outsideOfMonth(latDeg float64, month int) float64 {
	sum := 0.0
	days := daysFor(latDeg, month)
	for _, n := range days {
		sum += dayOutside(SolarConstantWM2, latDeg, declinationDeg(n), n)
	}
	return sum / float64(len(days))
}

// Check returns every fault of the climate at a latitude. Radiation above what
// arrives outside the air is the sign of another unit.
func (c *Climate) Check(latDeg float64) error {
	var errs []error
	fault := func(format string, args ...any) {
		errs = append(errs, fmt.Errorf("sun: climate: "+format, args...))
	}
	for i, m := range c.Months {
		outside := outsideOfMonth(latDeg, i)
		if most := 0.9 * outside; !(m.GlobalWhM2 >= 0 && m.GlobalWhM2 <= most+1e-6) {
			fault("%v: %g Wh/m² a day on level ground, must be 0 to %.0f (90 %% of what arrives outside the air); is it a sum of the month, or in another unit?",
				time.Month(i+1), m.GlobalWhM2, most)
		}
		if m.AirK != 0 && !(m.AirK >= 180 && m.AirK <= 330) {
			fault("%v: air at %g K, must be 180 to 330 K, or 0 if not known", time.Month(i+1), m.AirK)
		}
		if !(m.AirSwingK >= 0 && m.AirSwingK <= 40) {
			fault("%v: daily swing of %g K, must be 0 to 40 K", time.Month(i+1), m.AirSwingK)
		}
	}
	if !(c.HeightM >= -500 && c.HeightM <= 9000) {
		fault("height of %g m, must be -500 to 9000 m", c.HeightM)
	}
	if !(c.ModelFactor >= 0 && c.ModelFactor <= 1) {
		fault("model factor %g, must be above 0 to 1, or 0 for the default", c.ModelFactor)
	}
	return errors.Join(errs...)
}
