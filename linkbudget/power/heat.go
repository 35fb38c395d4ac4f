package power

import (
	"cmp"
	"math"
)

// Shade is what keeps the sun off the box, with air moving behind it.
type Shade uint8

// A roof may be the solar panel itself, mounted with a gap.
const (
	NoShade Shade = iota
	ShadeRoof
	ShadeRoofSides
)

var shadeWords = []string{NoShade: "none", ShadeRoof: "roof", ShadeRoofSides: "roof_sides"}

// String returns "none", "roof" or "roof_sides".
func (s Shade) String() string { return wordOf("Shade", s, shadeWords) }

// Factor returns the share of the sun's heat that a shade keeps off: 0.25 for a roof, 0.45 for roof
// and sides (a manufacturer's test on light grey cabinets gave 25 and 46 %), none with an open gap
// below MinShadeGapM.
func (s Shade) Factor(gapM float64) float64 {
	switch {
	case !(gapM >= MinShadeGapM):
		return 0
	case s == ShadeRoof:
		return 0.25
	case s == ShadeRoofSides:
		return 0.45
	}
	return 0
}

// Values of a box that usually are not stated.
const (
	MinShadeGapM        = 0.02 // below it the air behind the plate stands still
	DefaultShadeGapM    = 0.03
	CalmFilmWm2K        = 10.0 // outside film, convection and radiation, no wind
	PlasticWallWm2K     = 3.5  // inside to outside
	SteelWallWm2K       = 5.5  // painted
	AluminiumWallWm2K   = 12.0
	DefaultElectronicsC = 70.0 // consumer parts 60 to 70, industrial 85; the sheet decides
	// LeastSunRiseK: even a good ventilated shield reads 2 to 4 K high at calm
	// midday; less is never promised.
	LeastSunRiseK = 3.0
)

// Box is the enclosure on the pole.
type Box struct {
	HeightM, WidthM, DepthM float64
	// Absorptance of the sunlit outside, 0.05 to 1: white paint 0.25 fresh and
	// 0.35 dirty, light grey 0.5, mid grey or green 0.7, black 0.95.
	Absorptance float64
	FilmWm2K    float64 // 0 means CalmFilmWm2K
	WallWm2K    float64 // 0 means PlasticWallWm2K
	Shade       Shade
	ShadeGapM   float64 // open gap behind the shade; 0 means DefaultShadeGapM
	// VentM2 is the free area of the inlet below, and that of the outlet above,
	// VentRiseM higher; 0 is a sealed box.
	VentM2, VentRiseM float64
	// SunlitM2 is the area that the sun sees; 0 means the largest shadow the
	// box can throw.
	SunlitM2 float64
	// ElectronicsMaxC is the limit of the electronics; 0 means DefaultElectronicsC.
	ElectronicsMaxC float64
}

// Validate returns every fault at once, or nil.
func (b Box) Validate() error {
	return faultsOf("box",
		rangeFault("height in m", b.HeightM, 0.01, 3), rangeFault("width in m", b.WidthM, 0.01, 3),
		rangeFault("depth in m", b.DepthM, 0.01, 3),
		rangeFault("absorptance", b.Absorptance, 0.05, 1),
		rangeFault("gap of the shade in m", b.ShadeGapM, 0, 1),
		rangeFault("vents in m2", b.VentM2, 0, 0.5), rangeFault("height between vents in m", b.VentRiseM, 0, 3),
		rangeFault("sunlit area in m2", b.SunlitM2, 0, 20),
		wordFault("shade", b.Shade, shadeWords),
		optionalFault("outside film in W/m2K", b.FilmWm2K, 3, 60),
		optionalFault("wall in W/m2K", b.WallWm2K, 0.3, 60),
		optionalFault("limit of the electronics in C", b.ElectronicsMaxC, 30, 150))
}

// AreaM2 returns the outside of the box.
func (b Box) AreaM2() float64 {
	return 2 * (b.HeightM*b.WidthM + b.HeightM*b.DepthM + b.WidthM*b.DepthM)
}

// LargestShadowM2 returns the largest area a box can show to the sun,
// sqrt(a² + b² + c²) of its three faces: a convex body's shadow is the sum of
// its faces times the cosines, and that sum is greatest along (a, b, c).
func (b Box) LargestShadowM2() float64 {
	return math.Hypot(math.Hypot(b.HeightM*b.WidthM, b.HeightM*b.DepthM), b.WidthM*b.DepthM)
}

// airWPerK returns what a stream of air carries off, rho cp V, in W/K:
// 0.335 per m3/h at sea level. rho = 1.2 exp(-z/8434 m), cp = 1005 J/kgK.
func airWPerK(flowM3h, altitudeM float64) float64 {
	return 1.2 * math.Exp(-altitudeM/8434) * 1005 * flowM3h / 3600
}

// stackM3h returns the flow that warm air in the box drives through two equal
// vents, one above the other: Cd A/sqrt(2) sqrt(2 g h dT/T), Cd 0.65. ASHRAE
// Handbook Fundamentals, ventilation by stack effect (from memory).
func (b Box) stackM3h(riseK, airC float64) float64 {
	const dischargeCoefficient, gravity = 0.65, 9.81
	speed := math.Sqrt(2 * gravity * b.VentRiseM * max(0, riseK) / (airC + 273.15 + max(0, riseK)))
	return 3600 * dischargeCoefficient * b.VentM2 / math.Sqrt2 * speed
}

// HeatInput is one hour of sun on a box.
type HeatInput struct {
	AirC          float64 // outside
	IrradianceWm2 float64 // across the sun's rays, global
	InsideW       float64 // heat of the electronics
	FanM3h        float64 // air blown through, 0 without a fan
	AltitudeM     float64
}

// RiseK returns how much warmer than the air the box gets, in the steady state:
//
//	rise = alpha G As (1-s)/(ho A + UA) + Pint/(k A + UA)
//
// with UA = rho cp V of fan and vents. The flow through the vents depends on
// the rise itself, so the rise is found by bisection.
func (b Box) RiseK(in HeatInput) float64 {
	shaded := b.Shade.Factor(cmp.Or(b.ShadeGapM, DefaultShadeGapM))
	sunW := b.Absorptance * in.IrradianceWm2 * cmp.Or(b.SunlitM2, b.LargestShadowM2()) * (1 - shaded)
	film := cmp.Or(b.FilmWm2K, CalmFilmWm2K) * b.AreaM2()
	wall := cmp.Or(b.WallWm2K, PlasticWallWm2K) * b.AreaM2()
	perM3h := airWPerK(1, in.AltitudeM)
	at := func(riseK float64) float64 {
		flow := in.FanM3h
		if b.VentM2 > 0 {
			flow += b.stackM3h(riseK, in.AirC)
		}
		carried := perM3h * flow
		return sunW/(film+carried) + in.InsideW/(wall+carried)
	}
	high := at(0)
	if b.VentM2 == 0 {
		return high
	}
	low := 0.0
	for range 40 { // to 1e-10 of a rise
		if middle := (low + high) / 2; at(middle) > middle {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}
