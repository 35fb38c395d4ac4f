package sun

import "math"

// ClearSky is the irradiance under a cloudless sky, W/m²: on level ground, square
// to the sun, and from the sky on level ground.
type ClearSky struct{ GlobalWM2, BeamWM2, DiffuseWM2 float64 }

// Haurwitz returns the irradiance on level ground under a cloudless sky, W/m²,
// from the apparent elevation of the sun alone (Haurwitz, J. Meteorology 2
// (1945); the best of its kind in Reno, Hansen and Stein, SAND2012-2389).
func Haurwitz(elevDeg float64) float64 {
	cosZ := math.Sin(elevDeg * deg)
	if !(cosZ > 0) {
		return 0
	}
	return 1098 * cosZ * math.Exp(-0.059/cosZ)
}

// airMass returns the relative optical air mass (Kasten and Young, Applied
// Optics 28 (1989)) for an apparent elevation above 0.
func airMass(elevDeg float64) float64 {
	return 1 / (math.Sin(elevDeg*deg) + 0.50572*math.Pow(elevDeg+6.07995, -1.6364))
}

// pressureRatio is the pressure at a height over that at sea level (standard
// atmosphere).
func pressureRatio(heightM float64) float64 { return math.Pow(1-2.25577e-5*heightM, 5.25588) }

// Ineichen returns the irradiance under a cloudless sky (Ineichen and Perez, Solar Energy 73 (2002)
// 151-157) with the sun at an apparent elevation, at a height above the sea of -500 to 9000 m, for
// a Linke turbidity at air mass 2 (2 to 3 in the mountains, 3 in the plain, above 4 in large
// cities) and an irradiance outside the air. All zero while the sun is down.
func Ineichen(elevDeg, heightM, turbidity, outsideWM2 float64) ClearSky {
	if !(elevDeg > 0) {
		return ClearSky{}
	}
	return ineichen(math.Sin(elevDeg*deg), airMass(elevDeg)*pressureRatio(heightM), heightM, turbidity, outsideWM2)
}

func ineichen(cosZ, airMass, heightM, turbidity, outsideWM2 float64) ClearSky {
	fh1, fh2 := math.Exp(-heightM/8000), math.Exp(-heightM/1250)
	a1, a2 := 5.09e-5*heightM+0.868, 3.92e-5*heightM+0.0387
	global := a1 * outsideWM2 * cosZ * math.Exp(-a2*airMass*(fh1+fh2*(turbidity-1)))
	beam := min((0.664+0.163/fh1)*math.Exp(-0.09*airMass*(turbidity-1))*outsideWM2,
		global*(1-(0.1-0.2*math.Exp(-turbidity))/(0.1+0.882/fh1))/cosZ)
	beam = max(0, beam)
	return ClearSky{GlobalWM2: global, BeamWM2: beam, DiffuseWM2: max(0, global-beam*cosZ)}
}
