package terrain

import (
	"math"

	"github.com/paulmach/orb"
)

// Cartesian returns a place on the WGS 84 ellipsoid, height 0, in metres from the earth's centre: x
// towards 0° E on the equator, y towards 90° E, z towards the north pole. W. Torge, Geodesy,
// chapter 4, ellipsoidal into global Cartesian coordinates. A place that [CheckPlace] refuses gives
// nonsense. Differences of such triples are chords, which bound distances over the ground from
// below: [MaxArcM].
func Cartesian(p orb.Point) [3]float64 {
	const e2 = flattening * (2 - flattening)
	sinLat, cosLat := math.Sincos(p[1] * math.Pi / 180)
	sinLon, cosLon := math.Sincos(p[0] * math.Pi / 180)
	n := semiMajorM / math.Sqrt(1-e2*sinLat*sinLat)
	return [3]float64{n * cosLat * cosLon, n * cosLat * sinLon, n * (1 - e2) * sinLat}
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
