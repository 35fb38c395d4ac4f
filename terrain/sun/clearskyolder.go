package sun

import "math"

// Two older clear-sky models, for comparison with the literature that uses
// them; the energy chain uses [Ineichen].

// ashrae holds A (W/m²), B and C by month.
var ashrae = [12]struct{ a, b, c float64 }{
	{1230, .142, .058}, {1215, .144, .060}, {1186, .156, .071}, {1136, .180, .097}, {1104, .196, .121}, {1088, .205, .134},
	{1085, .207, .136}, {1107, .201, .122}, {1151, .177, .092}, {1192, .160, .073}, {1221, .149, .063}, {1233, .142, .057},
}

// ASHRAE returns the irradiance under a cloudless sky on the 21st of a month, 1
// to 12, by the A-B-C model of ASHRAE (1967, constants of 1972): beam
// A exp(-B/sin h), sky C times the beam. All zero while the sun is down or for
// any other month.
func ASHRAE(elevDeg float64, month int) ClearSky {
	sin := math.Sin(elevDeg * deg)
	if !(sin > 0) || month < 1 || month > 12 {
		return ClearSky{}
	}
	m := ashrae[month-1]
	beam := m.a * math.Exp(-m.b/sin)
	return ClearSky{GlobalWM2: beam * (sin + m.c), BeamWM2: beam, DiffuseWM2: beam * m.c}
}

// HottelClimate corrects [Hottel]'s standard atmosphere.
type HottelClimate struct{ R0, R1, RK float64 }

// The climates of Hottel, Solar Energy 18 (1976).
var (
	HottelTropical          = HottelClimate{0.95, 0.98, 1.02}
	HottelMidlatitudeSummer = HottelClimate{0.97, 0.99, 1.02}
	HottelMidlatitudeWinter = HottelClimate{1.03, 1.01, 1.00}
	HottelSubarcticSummer   = HottelClimate{0.99, 0.99, 1.01}
)

// Hottel returns the irradiance under a cloudless sky of 23 km visibility at a
// height of -500 to 2500 m, for an irradiance outside the air: the beam by
// Hottel, Solar Energy 18 (1976), the sky by Liu and Jordan (1960), as in
// Duffie and Beckman §2.8. All zero while the sun is down or higher up.
func Hottel(elevDeg, heightM, outsideWM2 float64, c HottelClimate) ClearSky {
	cosZ := math.Sin(elevDeg * deg)
	if !(cosZ > 0) || !(heightM >= -500 && heightM <= 2500) {
		return ClearSky{}
	}
	km := heightM / 1000
	a0 := c.R0 * (0.4237 - 0.00821*(6-km)*(6-km))
	a1 := c.R1 * (0.5055 + 0.00595*(6.5-km)*(6.5-km))
	k := c.RK * (0.2711 + 0.01858*(2.5-km)*(2.5-km))
	beam := a0 + a1*math.Exp(-k/cosZ)
	sky := max(0, 0.271-0.294*beam)
	return ClearSky{
		GlobalWM2: outsideWM2 * cosZ * (beam + sky), BeamWM2: outsideWM2 * beam, DiffuseWM2: outsideWM2 * cosZ * sky,
	}
}
