package sun

import "math"

// SolarConstantWM2 is the irradiance outside the air at the mean distance of the
// sun, W/m² (Kopp and Lean, Geophysical Research Letters 38 (2011)).
const SolarConstantWM2 = 1361

// The formulas of this file are those of Duffie and Beckman, Solar Engineering
// of Thermal Processes (4th edition, 2013), "D&B", with the equation named. n is
// the day of the year, 1 to 365.

// declinationDeg is Cooper's declination (D&B 1.6.1a), good to 1°: for climate
// means, which are tabulated with it, not for the skyline.
func declinationDeg(n float64) float64 { return 23.45 * math.Sin(360*(284+n)/365*deg) }

// NoonElevDeg returns how high the sun stands at noon at a latitude on a day of the
// year, 1 to 365, degrees, to 1°; negative in the polar night.
func NoonElevDeg(latDeg float64, day int) float64 {
	return 90 - math.Abs(latDeg-declinationDeg(float64(day)))
}

// distanceFactor is the irradiance over that at the mean distance (D&B 1.4.1a).
func distanceFactor(n float64) float64 { return 1 + 0.033*math.Cos(360*n/365*deg) }

// sunsetHourAngleDeg is 0 in the polar night and 180 under the midnight sun (D&B
// 1.6.10).
func sunsetHourAngleDeg(latDeg, declDeg float64) float64 {
	return math.Acos(max(-1, min(1, -math.Tan(latDeg*deg)*math.Tan(declDeg*deg)))) / deg
}

// dayOutside returns the energy of a day on level ground outside the air, Wh/m²
// (D&B 1.10.3).
func dayOutside(constantWM2, latDeg, declDeg, n float64) float64 {
	return between(constantWM2, latDeg, declDeg, n, 0, sunsetHourAngleDeg(latDeg, declDeg)) * 2
}

// between is dayOutside from one hour angle to another, both while the sun is up
// (D&B 1.10.4), Wh/m².
func between(constantWM2, latDeg, declDeg, n, fromDeg, toDeg float64) float64 {
	sinLat, cosLat := math.Sincos(latDeg * deg)
	sinD, cosD := math.Sincos(declDeg * deg)
	return max(0, 12/math.Pi*constantWM2*distanceFactor(n)*
		(cosLat*cosD*(math.Sin(toDeg*deg)-math.Sin(fromDeg*deg))+(toDeg-fromDeg)*deg*sinLat*sinD))
}

// meanDays are the days of the year whose radiation outside the air is nearest to
// the mean of their month (Klein, Solar Energy 19 (1977); D&B table 1.6.1).
var meanDays = [12]float64{17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344}

// monthStart holds the day of the year before the first of each month.
var monthStart = [13]int{0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365}

// meanDayLatDeg is the latitude up to which one day may stand for a month.
const meanDayLatDeg = 66.5

// daysFor returns the days that stand for a month (0 to 11): its mean day, or
// within the polar circles, where day and night come and go within a month, all.
func daysFor(latDeg float64, month int) []float64 {
	if math.Abs(latDeg) <= meanDayLatDeg {
		return meanDays[month : month+1]
	}
	var days []float64
	for n := monthStart[month] + 1; n <= monthStart[month+1]; n++ {
		days = append(days, float64(n))
	}
	return days
}
