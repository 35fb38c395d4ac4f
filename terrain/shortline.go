package terrain

import (
	"math"

	"github.com/paulmach/orb"
)

// Limits of a shortLine: the difference of either coordinate and the latitude,
// degrees, and the length, m. On a shorter one the rounding of earth-centred
// coordinates, a nanometre, would tell in the azimuth.
const (
	shortLineDeg    = 0.5
	shortLineLatDeg = 75
	shortLineLeastM = 100
)

// eccentricity2 is e², the square of the first eccentricity.
const eccentricity2 = flattening * (2 - flattening)

const (
	radiansPerDegree = math.Pi / 180
	degreesPerRadian = 180 / math.Pi
)

// place is a place on the ellipsoid with what lines from it need.
type place struct {
	latDeg, lonDeg float64
	sin, cos       float64 // of the latitude
	normalM        float64 // N, radius of curvature in the prime vertical
	meridianM      float64 // M, that in the meridian
	axisM, zM      float64 // from the axis and from the plane of the equator
}

// set makes x the place at p: DegreeSizesM with its intermediate steps kept.
func (x *place) set(p orb.Point) {
	x.lonDeg, x.latDeg = p[0], p[1]
	sin, cos := math.Sincos(p[1] * radiansPerDegree)
	w2 := 1 - eccentricity2*sin*sin
	normalM := semiMajorM / math.Sqrt(w2)
	x.sin, x.cos, x.normalM = sin, cos, normalM
	x.meridianM = normalM * (1 - eccentricity2) / w2
	x.axisM, x.zM = normalM*cos, normalM*(1-eccentricity2)*sin
}

// waypoint makes w the place with a direction.
func (p *place) waypoint(w *waypoint, lonDeg float64, d direction) {
	w.place[0], w.place[1], w.sin, w.cos = lonDeg, p.latDeg, d.sin, d.cos
	w.lonM, w.latM = radiansPerDegree*p.normalM*p.cos, radiansPerDegree*p.meridianM
}

// direction is an azimuth.
type direction struct{ sin, cos float64 }

func (d direction) azimuthDeg() float64 {
	return azimuth360(degreesPerRadian * math.Atan2(d.sin, d.cos))
}

// shortLine is a geodesic with its two ends.
type shortLine struct {
	Geodesic
	start, end waypoint
}

// between makes l the geodesic from a to b where they are less than half a degree apart, without
// iteration; false elsewhere.
//
// A geodesic is a curve in space whose normal is that of the surface: with s from one of its
// points, κ its curvature and τ its torsion there, T, N, B its frame (Frenet; e.g. W. Torge,
// Geodesy, chapter 4),
//
//	r(s) = T (s - κ²s³/6) + N κ s²/2 + B (κτ s³/6 + κτ' s⁴/24) + ...
//	κ = cos²α/M + sin²α/N    (Euler),    τ = (1/M - 1/N) sin α cos α
//
// So the chord of a line is (2/κ) sin(κs/2), κ taken in its middle, for which the mean of its ends
// serves; and the chord's direction over the ground (that of the normal section) differs from the
// geodesic's by the part along B,
//
//	κτ s²/6 - e² sin 2φ sin α s³/(48 a³)
//
// Chord and direction come from earth-centred coordinates, exactly. What is left out is of the
// order e²(s/a)⁴: some nanometres and 1e-11 degrees at 25 km, 0.2 µm and 1e-10 degrees at the
// limit.
func (l *shortLine) between(a, b orb.Point) bool {
	lonDeg := b[0] - a[0]
	if !(math.Abs(lonDeg) <= shortLineDeg) {
		lonDeg = math.Remainder(lonDeg, 360)
	}
	if !(math.Abs(lonDeg) <= shortLineDeg && math.Abs(b[1]-a[1]) <= shortLineDeg &&
		math.Abs(a[1]) <= shortLineLatDeg && math.Abs(b[1]) <= shortLineLatDeg) {
		return false
	}
	var from, to place
	from.set(a)
	to.set(b)
	half := lonDeg * (radiansPerDegree / 2)
	h2 := half * half
	sin := half * (1 - h2/6*(1-h2/20*(1-h2/42))) // of half the difference, below 0.0044
	sin2 := sin * sin
	across := 2 * sin * math.Sqrt(1-sin2) // sine of the whole difference
	out, up := to.axisM-from.axisM, to.zM-from.zM
	chord2 := out*out + up*up + 4*from.axisM*to.axisM*sin2
	if !(chord2 >= shortLineLeastM*shortLineLeastM) {
		return false
	}
	chordM := math.Sqrt(chord2)
	forward := from.towards(to.axisM*across, out-2*to.axisM*sin2, up)
	back := to.towards(-from.axisM*across, -out-2*from.axisM*sin2, -up)

	curvatureA, curvatureB := from.curvature(forward), to.curvature(back)
	x := chordM * (curvatureA + curvatureB) / 4
	x2 := x * x
	l.DistM = chordM * (1 + x2*(1.0/6+x2*(3.0/40+x2*(15.0/336)))) // asin x / x
	forward, back = from.turned(forward, curvatureA, l.DistM), to.turned(back, curvatureB, l.DistM)
	l.AzimuthDeg, l.BackAzimuthDeg = forward.azimuthDeg(), back.azimuthDeg()
	from.waypoint(&l.start, a[0], forward)
	to.waypoint(&l.end, a[0]+lonDeg, direction{-back.sin, -back.cos})
	return true
}

// towards returns the direction on the ground of a step in space, given by its
// parts to the east, away from the axis and to the north along it.
func (p *place) towards(eastM, outM, upM float64) direction {
	northM := upM*p.cos - outM*p.sin
	perM := 1 / math.Sqrt(eastM*eastM+northM*northM)
	return direction{eastM * perM, northM * perM}
}

// curvature is that of the surface in a direction, per metre (Euler).
func (p *place) curvature(d direction) float64 {
	return d.cos*d.cos/p.meridianM + d.sin*d.sin/p.normalM
}

// turned returns the direction of the geodesic over distM whose normal section
// has the direction d; the angle is below 1e-6.
func (p *place) turned(d direction, curvature, distM float64) direction {
	torsion := (1/p.meridianM - 1/p.normalM) * d.sin * d.cos
	turn := distM * distM * (curvature*torsion/6 -
		distM*p.sin*p.cos*d.sin*(eccentricity2/24/(semiMajorM*semiMajorM*semiMajorM)))
	return direction{d.sin - turn*d.cos, d.cos + turn*d.sin}
}
