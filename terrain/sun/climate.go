package sun

import (
	"errors"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// ClimateMonth is the weather of the mean day of a month.
type ClimateMonth struct {
	// GlobalWhM2 is the radiation on level open ground, Wh/m² a day.
	GlobalWhM2 float64
	// AirK is the mean temperature of the air, kelvin. 0 means not known: the
	// built-in default by latitude takes its place.
	AirK float64
	// AirSwingK is half the difference of the mean daily maximum and minimum, as climate tables
	// give them. 0 means half of 25.8 K times the clearness index less 5.21 K, at least 1.5 K
	// (Erbs, Klein and Beckman 1983; from memory).
	AirSwingK float64
	// SnowCM is the snow that falls in the month, centimetres, on SnowDays days;
	// 0: none, or not known.
	SnowCM, SnowDays float64
}

// Climate is twelve months of weather, January first.
type Climate struct {
	Months [12]ClimateMonth
	// HeightM is the height of the place above the sea, metres, which the
	// built-in temperatures are taken to.
	HeightM float64
	// At is the place that the figures are of; nil: not known. One more than 300 km
	// from the site is refused.
	At *orb.Point
	// AirAtM is the height above the sea that the temperatures stated are of,
	// metres; nil: not known.
	AirAtM *float64
	// Source says where the figures come from. Assumed says that the radiation
	// is the built-in default by latitude, nothing measured.
	Source  string
	Assumed bool
	// ModelFactor is what the panel is taken to get of what the model gives, above 0 to 1; the
	// model runs high in dull winters. 0 means 0.85 for assumed radiation and in months with a
	// clearness index below 0.35, else 0.95.
	ModelFactor float64
}

const (
	dullClearness = 0.35
	dullFactor    = 0.85
	modelFactor   = 0.95
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

// DefaultClimate returns what the sun is shown by where no weather is known. It decides nothing:
// see [DefaultRange]. The clearness index is 0.45 all the year; monthly means lie between 0.12 and
// 0.82 all over the world. The air is 28 °C at the equator, 0.0085 K colder for the square of each
// degree of latitude and 6.5 K colder for each 1000 m; January and July differ from the mean by
// 0.27 K per degree: a rough fit made here.
func DefaultClimate(latDeg, heightM float64) Climate {
	return assumedClimate(latDeg, heightM, 0.45)
}

// DefaultRange returns the two ends of what the weather of a latitude may be: a dull sky in a harsh
// air, and a bright sky in a mild one. The clearness index is 0.18 all the year from 45° of
// latitude on, 0.22 from 35°, 0.30 towards the equator, and 0.65. The air is 3 K colder than that
// of [DefaultClimate] with seasons 1.6 times as strong, or 0.15 K per degree of latitude warmer
// with seasons 0.4 times as strong: inland plains and western coasts. Most places of the world lie
// between (own judgement); no table of either is published by latitude.
func DefaultRange(latDeg, heightM float64) (dull, bright Climate) {
	abs := math.Abs(latDeg)
	kt := 0.30
	switch {
	case abs >= 45:
		kt = 0.18
	case abs >= 35:
		kt = 0.22
	}
	dull, bright = assumedClimate(latDeg, heightM, kt), assumedClimate(latDeg, heightM, 0.65)
	dull, _ = dull.AirRange(latDeg)
	_, bright = bright.AirRange(latDeg)
	return dull, bright
}

// coldestMonthK is about the coldest month of any place, on the ice of the South Pole
// (-70 °C; from memory): no default falls below it.
const coldestMonthK = 203.15

// AirKnown is whether the air of every month is stated.
func (c *Climate) AirKnown() bool {
	return !slices.ContainsFunc(c.Months[:], func(m ClimateMonth) bool { return m.AirK == 0 })
}

// AirRange returns the climate with the air of the months that state none at the
// two ends of what it may be, see [DefaultRange].
func (c Climate) AirRange(latDeg float64) (harsh, mild Climate) {
	harsh, mild = c, c
	for m := range c.Months {
		if c.Months[m].AirK == 0 {
			meanK, seasonK := defaultAirK(latDeg, c.HeightM, m)
			harsh.Months[m].AirK = max(coldestMonthK, meanK-3+1.6*seasonK)
			mild.Months[m].AirK = max(coldestMonthK, meanK+0.15*math.Abs(latDeg)+0.4*seasonK)
		}
	}
	return harsh, mild
}

// assumedClimate has one clearness index all the year and the default air.
func assumedClimate(latDeg, heightM, clearness float64) Climate {
	var kt [12]float64
	for m := range kt {
		kt[m] = clearness
	}
	c := ClimateFromClearness(latDeg, kt)
	c.HeightM, c.Assumed = heightM, true
	c.Source = "none given, a default by latitude stands in"
	return c
}

// defaultAirK is the built-in mean temperature of the year and how far a month (0
// to 11) departs from it.
func defaultAirK(latDeg, heightM float64, month int) (meanK, seasonK float64) {
	abs := math.Abs(latDeg)
	meanK = 273.15 + 28 - 0.0085*abs*abs - 0.0065*heightM
	sinceWarmest := float64(month - 6) // July
	if latDeg < 0 {
		sinceWarmest += 6
	}
	return meanK, 0.27 * abs * math.Cos(sinceWarmest*30*deg)
}

// air returns the mean temperature of a month and its daily swing.
func (c *Climate) air(latDeg float64, month int) (meanK, swingK float64) {
	m := c.Months[month]
	if m.AirK == 0 {
		yearK, seasonK := defaultAirK(latDeg, c.HeightM, month)
		m.AirK = max(coldestMonthK, yearK+seasonK)
	}
	if m.AirSwingK == 0 {
		m.AirSwingK = 1.5
		if outside := outsideOfMonth(latDeg, month); outside > 0 {
			m.AirSwingK = max(1.5, airRangeK(m.GlobalWhM2/outside)/2)
		}
	}
	return m.AirK, m.AirSwingK
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
	add := func(format string, args ...any) { errs = append(errs, fault.Input("sun: climate: "+format, args...)) }
	for i, m := range c.Months {
		outside := outsideOfMonth(latDeg, i)
		if most := 0.9 * outside; !(m.GlobalWhM2 >= 0 && m.GlobalWhM2 <= most+1e-6) {
			add("%v: %g Wh/m² a day on level ground, must be 0 to %.0f (90 %% of what arrives outside the air); is it a sum "+
				"of the month, or in another unit?", time.Month(i+1), m.GlobalWhM2, most)
		}
		if m.AirK != 0 && !(m.AirK >= 180 && m.AirK <= 330) {
			add("%v: air at %g K, must be 180 to 330 K, or 0 if not known", time.Month(i+1), m.AirK)
		}
		if !(m.SnowCM >= 0 && m.SnowCM <= 1000) || !(m.SnowDays >= 0 && m.SnowDays <= 31) ||
			(m.SnowCM > 0) != (m.SnowDays > 0) {
			add("%v: %g cm of snow on %g days, must be 0 to 1000 cm on 0 to 31 days, both or neither", time.Month(i+1),
				m.SnowCM, m.SnowDays)
		}
		if !(m.AirSwingK >= 0 && m.AirSwingK <= 40) {
			add("%v: daily swing of %g K, must be 0 to 40 K", time.Month(i+1), m.AirSwingK)
		}
	}
	if !(c.HeightM >= -500 && c.HeightM <= 9000) {
		add("height of %g m, must be -500 to 9000 m", c.HeightM)
	}
	if !(c.ModelFactor >= 0 && c.ModelFactor <= 1) {
		add("model factor %g, must be above 0 to 1, or 0 for the default", c.ModelFactor)
	}
	return errors.Join(errs...)
}
