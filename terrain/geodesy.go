package terrain

import (
	"errors"
	"math"

	"github.com/paulmach/orb"
	"github.com/tidwall/geodesic"

	"github.com/polereach/polereach/terrain/fault"
)

// The WGS 84 ellipsoid: semi-major axis and flattening, NGA.STND.0036 (2014) table 3.1.
const (
	semiMajorM = 6378137.0
	flattening = 1 / 298.257223563
)

// Geodesic is the shortest way between two places on the WGS 84 ellipsoid.
type Geodesic struct {
	// DistM is its length on the ellipsoid, metres.
	DistM float64
	// AzimuthDeg is the direction at the first place towards the second,
	// degrees clockwise from north, 0 <= azimuth < 360.
	AzimuthDeg float64
	// BackAzimuthDeg is the direction at the second place towards the first,
	// counted in the same way.
	BackAzimuthDeg float64
}

// Inverse returns the geodesic from a to b, degrees longitude and latitude: C. F. F. Karney,
// Algorithms for geodesics, J. Geodesy 87 (2013), good to some nanometres; between places less than
// half a degree apart a closed form, which differs from it by less than 0.2 µm. At a pole,
// directions are counted from the meridian of the longitude given for it. Between places that
// coincide there is no direction: the azimuth is 0 and the back azimuth 180. Between places exactly
// opposite, one of the many shortest ways is taken. Longitudes may lie outside ±180. A place that
// [CheckPlace] refuses gives NaN.
func Inverse(a, b orb.Point) Geodesic {
	var s shortLine
	if s.between(a, b) {
		return s.Geodesic
	}
	return longInverse(a, b)
}

// longInverse is Inverse without the closed form.
func longInverse(a, b orb.Point) Geodesic {
	var distM, azimuthDeg, endAzimuthDeg float64
	geodesic.WGS84.Inverse(latitude(a), a[0], latitude(b), b[0], &distM, &azimuthDeg, &endAzimuthDeg)
	if distM == 0 {
		return Geodesic{BackAzimuthDeg: 180}
	}
	return Geodesic{
		DistM:          distM,
		AzimuthDeg:     azimuth360(azimuthDeg),
		BackAzimuthDeg: azimuth360(endAzimuthDeg + 180),
	}
}

// Destination returns the place reached from a in the direction azimuthDeg
// (degrees clockwise from north) after distM metres along the geodesic, with a
// longitude within ±180. A negative distance goes backwards.
//
// A place that [CheckPlace] refuses, or an azimuth or a distance that is not
// finite, gives NaN.
func Destination(a orb.Point, azimuthDeg, distM float64) orb.Point {
	var lonDeg, latDeg float64
	geodesic.WGS84.Direct(latitude(a), a[0], azimuthDeg, distM, &latDeg, &lonDeg, nil)
	return orb.Point{longitude180(lonDeg), latDeg}
}

// latitude returns the latitude of a place, one that is no more than rounding off
// the equator as a positive zero. The library takes the sign of a negative zero
// wrongly: between two such places nearly opposite, it finds a distance of 0.
func latitude(p orb.Point) float64 {
	if math.Abs(p[1]) < 1e-15 {
		return 0
	}
	return p[1]
}

// CheckPlace returns every fault of a place given as longitude and latitude in
// degrees: a coordinate that is not finite, a latitude beyond ±90 or a longitude
// beyond ±360.
func CheckPlace(p orb.Point) error {
	if math.Abs(p[0]) <= 360 && math.Abs(p[1]) <= 90 {
		return nil
	}
	var errs []error
	if !(math.Abs(p[0]) <= 360) {
		errs = append(errs, fault.Range("longitude", p[0], -360, 360, "degrees"))
	}
	if !(math.Abs(p[1]) <= 90) {
		errs = append(errs, fault.Range("latitude", p[1], -90, 90, "degrees"))
	}
	return errors.Join(errs...)
}

// azimuth360 brings an azimuth into 0 <= azimuth < 360.
func azimuth360(deg float64) float64 {
	if deg = turnsRemoved(deg); deg == 360 {
		return 0 // from a hair below zero
	}
	return deg + 0 // no negative zero
}

// longitude180 brings a longitude within ±180. Both 180 and -180 stay.
func longitude180(deg float64) float64 {
	if deg >= -180 && deg <= 180 {
		return deg
	}
	return math.Remainder(deg, 360)
}

// DegreeSizesM returns the length on the ground of one degree of longitude and
// of latitude, metres, from the radii of curvature in the prime vertical N and
// in the meridian M (W. Torge, Geodesy, chapter 4, "radii of curvature"):
//
//	N = a / sqrt(1 - e² sin²φ),  M = a (1 - e²) / (1 - e² sin²φ)^(3/2)
func DegreeSizesM(latDeg float64) (lonM, latM float64) {
	sin, cos := math.Sincos(latDeg * math.Pi / 180)
	w2 := 1 - eccentricity2*sin*sin
	n := semiMajorM / math.Sqrt(w2)
	return math.Pi / 180 * n * cos, math.Pi / 180 * n * (1 - eccentricity2) / w2
}

// Cartesian returns a place on the WGS 84 ellipsoid, height 0, in metres from the earth's centre: x
// towards 0° E on the equator, y towards 90° E, z towards the north pole. W. Torge, Geodesy,
// chapter 4, ellipsoidal into global Cartesian coordinates. A place that [CheckPlace] refuses gives
// nonsense. Differences of such triples are chords, which bound distances over the ground from
// below: [MaxArcM].
func Cartesian(p orb.Point) [3]float64 {
	sinLat, cosLat := math.Sincos(p[1] * math.Pi / 180)
	sinLon, cosLon := math.Sincos(p[0] * math.Pi / 180)
	n := semiMajorM / math.Sqrt(1-eccentricity2*sinLat*sinLat)
	return [3]float64{n * cosLat * cosLon, n * cosLat * sinLon, n * (1 - eccentricity2) * sinLat}
}

// MaxArcM returns the longest geodesic, m, between two places whose chord is chordM, and is never
// below the chord; 20.1e6 m, more than there is, for chords over 12 600 km. The ellipsoid bends
// nowhere more than the meridian at the equator, with the radius R = a (1-f)². Schur's comparison
// theorem then gives an arc of at most 2 R asin(chord / 2R).
func MaxArcM(chordM float64) float64 {
	const radiusM = semiMajorM * (1 - flattening) * (1 - flattening)
	half := chordM / (2 * radiusM)
	if half > 0.994 {
		return 20.1e6
	}
	return 2 * radiusM * math.Asin(half)
}

// geodesicLine is one geodesic on which many places are wanted.
type geodesicLine struct {
	shortLine // with start and end, its two ends; filled in for a long line too
	from      orb.Point
	// maxAbsLatDeg is how far the way comes from the equator, degrees.
	maxAbsLatDeg float64
	// leastLonM and leastLatM are the smallest sizes of a degree along the way, m.
	leastLonM, leastLatM float64

	line  geodesic.Line // for exact places in between, set up on demand
	drawn bool
}

// waypoint is a place on a line: its longitude counted on without a jump at
// ±180, the direction of the line there, and the size of a degree.
type waypoint struct {
	place      orb.Point
	sin, cos   float64 // of the azimuth
	lonM, latM float64 // of a degree of longitude, of latitude
}

func newWaypoint(place orb.Point, azimuthDeg float64) waypoint {
	w := waypoint{place: place}
	w.sin, w.cos = math.Sincos(azimuthDeg * math.Pi / 180)
	w.lonM, w.latM = DegreeSizesM(place[1])
	return w
}

// draw makes l, which must be empty, the geodesic from a to b, which must differ.
func (l *geodesicLine) draw(a, b orb.Point) {
	l.from = a
	if !l.between(a, b) {
		l.Geodesic = longInverse(a, b)
		l.start = newWaypoint(a, l.AzimuthDeg)
		l.end = newWaypoint(orb.Point{a[0] + math.Remainder(b[0]-a[0], 360), b[1]}, l.BackAzimuthDeg+180)
	}
	l.maxAbsLatDeg = max(math.Abs(a[1]), math.Abs(b[1]))
	l.leastLonM, l.leastLatM = min(l.start.lonM, l.end.lonM), min(l.start.latM, l.end.latM)
	if a[1]*b[1] < 0 {
		_, l.leastLatM = DegreeSizesM(0)
	}
	// A way that sets out northwards and arrives southwards, or the reverse, has
	// its vertex in between. There the reduced latitude β (tan β = (1-f) tan φ)
	// follows from Clairaut's relation cos β_max = |sin α| cos β (Karney eq. 5).
	if l.start.cos*l.end.cos < 0 {
		beta := math.Atan((1 - flattening) * math.Tan(a[1]*math.Pi/180))
		top := math.Acos(min(1, math.Abs(l.start.sin)*math.Cos(beta)))
		l.maxAbsLatDeg = max(l.maxAbsLatDeg, 180/math.Pi*math.Atan(math.Tan(top)/(1-flattening)))
		l.leastLonM, _ = DegreeSizesM(l.maxAbsLatDeg)
	}
}

// at returns the exact place distM metres along the line, its longitude counted
// on without a jump at ±180, and the direction of the line there, degrees.
func (l *geodesicLine) at(distM float64) (place orb.Point, azimuthDeg float64) {
	if !l.drawn {
		l.drawn = true
		l.line = geodesic.WGS84.LineInit(latitude(l.from), l.from[0], l.AzimuthDeg,
			geodesic.Latitude|geodesic.Longitude|geodesic.Azimuth|geodesic.DistanceIn)
	}
	l.line.GenPosition(geodesic.LongUnroll, distM, &place[1], &place[0], &azimuthDeg, nil, nil, nil, nil, nil)
	return place, azimuthDeg
}
