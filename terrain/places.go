package terrain

import (
	"math"

	"github.com/paulmach/orb"
)

// earthRadiusM serves where some per cent do not matter.
const earthRadiusM = 6371e3

// places writes the places at the given distances, which run from 0 to the
// length of the line, to at. Longitudes are brought within ±180.
//
// Exact places are found at nodes, two of which are the ends of the line. In
// between, longitude and latitude follow the cubic (Hermite) polynomial that has
// the exact value and the exact direction at both nodes; where that would need
// nodes as dense as the points, every place is exact.
func (l *geodesicLine) places(distM []float64, at []orb.Point) {
	segments := math.Ceil(l.DistM / l.nodeSpacingM())
	if !(2*segments < float64(len(distM))) {
		for i, d := range distM {
			p, _ := l.at(d)
			at[i] = orb.Point{longitude180(p[0]), p[1]}
		}
		return
	}
	segmentM := l.DistM / segments
	from := l.start.node(segmentM)
	i := 0
	for s := 1.0; s < segments; s++ {
		to := l.nodeAt(s*segmentM, segmentM)
		endM := s * segmentM
		first := i
		for i < len(distM) && distM[i] < endM {
			i++
		}
		along(from, to, endM-segmentM, segmentM, distM[first:i], at[first:i])
		from = to
	}
	// Whatever the rounding, the last point belongs to the last segment.
	along(from, l.end.node(segmentM), l.DistM-segmentM, segmentM, distM[i:], at[i:])
}

// along writes the places between two nodes.
func along(from, to node, startM, segmentM float64, distM []float64, at []orb.Point) {
	lon, lat := hermite(from.lon, to.lon), hermite(from.lat, to.lat)
	perM := 1 / segmentM
	at = at[:len(distM)]
	for i, d := range distM {
		t := (d - startM) * perM
		at[i][0], at[i][1] = lon.at(t), lat.at(t) // a Point whole goes by way of the stack
	}
	if within180(from.lon, to.lon) {
		return
	}
	for i := range at {
		at[i][0] = longitude180(at[i][0])
	}
}

// nodeSpacingM returns how far nodes may lie apart.
//
// Between nodes h apart, the cubic misses a curve f by at most h⁴/384 · max|f⁗|.
// At a distance r from the earth's axis the fourth derivative of the place,
// in metres, is at most about 5/r³ (a straight line passing a pole at r: its
// longitude atan(s/r), times the radius there). With 25/r³, to stay on the safe
// side, this is the h that keeps the error below 0.1 mm: 25 km at the equator,
// 18 km at 50°, 200 m at 10 km from a pole.
func (l *geodesicLine) nodeSpacingM() float64 {
	const errorM = 1e-4
	r := earthRadiusM * math.Cos(l.maxAbsLatDeg*math.Pi/180)
	return math.Sqrt(math.Sqrt(errorM * 384 / 25 * r * r * r))
}

// slope is a coordinate at a node, degrees, and its change per segment there.
type slope struct{ deg, perSegment float64 }

// node is an exact place and direction on a line.
type node struct{ lon, lat slope }

// nodeAt returns the node distM along the line, for segments of segmentM.
func (l *geodesicLine) nodeAt(distM, segmentM float64) node {
	w := newWaypoint(l.at(distM))
	return w.node(segmentM)
}

// node returns the waypoint as a node of segments of segmentM.
func (w *waypoint) node(segmentM float64) node {
	return node{
		lon: slope{w.place[0], w.sin * segmentM / w.lonM},
		lat: slope{w.place[1], w.cos * segmentM / w.latM},
	}
}

// cubic is a polynomial, constant term first.
type cubic struct{ c0, c1, c2, c3 float64 }

// hermite returns the cubic that runs from p at 0 to q at 1 with their slopes.
func hermite(p, q slope) cubic {
	rise := q.deg - p.deg
	return cubic{p.deg, p.perSegment, 3*rise - 2*p.perSegment - q.perSegment, p.perSegment + q.perSegment - 2*rise}
}

func (c *cubic) at(t float64) float64 { return c.c0 + t*(c.c1+t*(c.c2+t*c.c3)) }

// within180 reports whether the Hermite cubic from p to q surely stays within ±180.
func within180(p, q slope) bool { return lowest(p, q) >= -180 && highest(p, q) <= 180 }

// lowest and highest bound the Hermite cubic from p to q: between its ends a cubic
// lies among its four Bézier control values, which are the ends and the ends moved
// by a third of their slopes (G. Farin, Curves and Surfaces for CAGD, convex hull
// property).
func lowest(p, q slope) float64 {
	return min(p.deg, q.deg, p.deg+p.perSegment/3, q.deg-q.perSegment/3)
}

func highest(p, q slope) float64 {
	return max(p.deg, q.deg, p.deg+p.perSegment/3, q.deg-q.perSegment/3)
}
