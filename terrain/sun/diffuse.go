package sun

import "math"

// How much of the radiation on level ground comes from the sky instead of
// straight from the sun: Erbs, Klein and Duffie, Solar Energy 28 (1982); D&B
// 2.10.1, 2.11.1, 2.12.1. The clearness index is the radiation on level ground
// over that outside the air.

// winterSunsetDeg is the hour angle of sunset that parts winter from the rest.
const winterSunsetDeg = 81.4

// diffuseOfHour returns the diffuse share of an hour with clearness index kt.
func diffuseOfHour(kt float64) float64 {
	switch {
	case kt <= 0.22:
		return 1 - 0.09*kt
	case kt <= 0.80:
		return horner(kt, 0.9511, -0.1604, 4.388, -16.638, 12.336)
	}
	return 0.165
}

// diffuseOfDay returns the diffuse share of a day.
func diffuseOfDay(kt, sunsetDeg float64) float64 {
	if sunsetDeg <= winterSunsetDeg {
		if kt < 0.715 {
			return horner(kt, 1, -0.2727, 2.4495, -11.9514, 9.3879)
		}
		return 0.143
	}
	if kt < 0.722 {
		return horner(kt, 1, 0.2832, -2.5557, 0.8448)
	}
	return 0.175
}

// diffuseOfMonth returns the diffuse share of the mean day of a month. The correlation holds for
// 0.3 <= kt <= 0.8. Below, it is continued up to 0.99 rather than held, which would call a dull
// month brighter than it is; above, it is held.
func diffuseOfMonth(kt, sunsetDeg float64) float64 {
	kt = min(kt, 0.8)
	if sunsetDeg <= winterSunsetDeg {
		return min(0.99, horner(kt, 1.391, -3.560, 4.189, -2.137))
	}
	return min(0.99, horner(kt, 1.311, -3.022, 3.427, -1.821))
}

// horner evaluates a polynomial, constant term first.
func horner(x float64, c ...float64) float64 {
	y := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		y = y*x + c[i]
	}
	return y
}

// hourOfDay returns the share of a day's global radiation in an hour round hour
// angle w (Collares-Pereira and Rabl, Solar Energy 22 (1979); D&B 2.13.2).
func hourOfDay(wDeg, sunsetDeg float64) float64 {
	sin := math.Sin((sunsetDeg - 60) * deg)
	return (0.409 + 0.5016*sin + (0.6609-0.4767*sin)*math.Cos(wDeg*deg)) * hourOfDiffuse(wDeg, sunsetDeg)
}

// hourOfDiffuse is hourOfDay for the diffuse radiation, and the shape of the
// radiation outside the air (Liu and Jordan, Solar Energy 4 (1960); D&B 2.13.4).
func hourOfDiffuse(wDeg, sunsetDeg float64) float64 {
	ws := sunsetDeg * deg
	return math.Pi / 24 * (math.Cos(wDeg*deg) - math.Cos(ws)) / (math.Sin(ws) - ws*math.Cos(ws))
}
