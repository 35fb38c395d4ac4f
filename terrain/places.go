package terrain

import (
	"math"

	"github.com/paulmach/orb"
)

// walk goes along a line piece by piece, from one exact place to the next. In between, longitude
// and latitude follow the cubic (Hermite) polynomials that have the exact value and the exact
// direction at both ends of the piece, to within 0.1 mm of the line.
type walk struct {
	line            *geodesicLine
	lon, lat        cubic   // over 0 to 1
	startM, lengthM float64 // of the piece
	from, to        node    // its ends
	next            waypoint
	last            bool
}

// leastPieceM is how short pieces get at a pole, m. In so short a one, places
// count as where it begins.
const leastPieceM = 5e-4

// walk returns the walk along the line, before its first piece.
func (l *geodesicLine) walk() walk { return walk{line: l, next: l.start} }

// step goes on to the next piece, and reports whether there is one.
func (w *walk) step() bool {
	if w.last {
		return false
	}
	w.startM += w.lengthM
	here, leftM := w.next, w.line.DistM-w.startM
	axisM := here.lonM * degreesPerRadian // distance from the earth's axis
	w.lengthM = max(leastPieceM, nodeSpacingM(axisM-nodeSpacingM(axisM)))
	if w.last = leftM <= w.lengthM; w.last {
		w.lengthM, w.next = leftM, w.line.end
		// Past a pole, the longitude counted on may be a turn off.
		w.next.place[0] = here.place[0] + math.Remainder(w.next.place[0]-here.place[0], 360)
	} else {
		w.lengthM = min(w.lengthM, leftM/2)
		w.next = newWaypoint(w.line.at(w.startM + w.lengthM))
	}
	w.from, w.to = here.node(w.lengthM), w.next.node(w.lengthM)
	if w.lengthM <= leastPieceM {
		w.lon, w.lat = cubic{c0: w.from.lon.deg}, cubic{c0: w.from.lat.deg}
		return true
	}
	w.lon, w.lat = hermite(w.from.lon, w.to.lon), hermite(w.from.lat, w.to.lat)
	return true
}

// places writes the places at the given distances, which rise from 0 to the
// length of the line, to at. Longitudes are brought within ±180.
func (l *geodesicLine) places(distM []float64, at []orb.Point) {
	i := 0
	for w := l.walk(); w.step(); {
		perM := 1 / w.lengthM
		for i < len(distM) && (distM[i] < w.startM+w.lengthM || w.last) {
			t := (distM[i] - w.startM) * perM
			at[i][0], at[i][1] = longitude180(w.lon.at(t)), w.lat.at(t) // a Point whole goes by way of the stack
			i++
		}
	}
}

// nodeSpacingM returns how far exact places may lie apart on a line that comes no nearer to the
// earth's axis than axisM, 0 if that is not above 0. Between places h apart, the cubic misses a
// curve f by at most h⁴/384 · max|f⁗|. At a distance r from the axis the fourth derivative of the
// place, in metres, is at most about 5/r³ (a straight line passing a pole at r: its longitude
// atan(s/r), times the radius there). With 25/r³, to stay on the safe side, this is the h that
// keeps the error below 0.1 mm: 25 km at the equator, 18 km at 50°, 200 m at 10 km from a pole.
func nodeSpacingM(axisM float64) float64 {
	const errorM = 1e-4
	if !(axisM > 0) {
		return 0
	}
	return math.Sqrt(math.Sqrt(errorM * 384 / 25 * axisM * axisM * axisM))
}

// slope is a coordinate at a node, degrees, and its change per piece there.
type slope struct{ deg, perPiece float64 }

// node is an exact place and direction on a line.
type node struct{ lon, lat slope }

// node returns the waypoint as a node of pieces of pieceM.
func (w *waypoint) node(pieceM float64) node {
	return node{
		lon: slope{w.place[0], w.sin * pieceM / w.lonM},
		lat: slope{w.place[1], w.cos * pieceM / w.latM},
	}
}

// cubic is a polynomial, constant term first.
type cubic struct{ c0, c1, c2, c3 float64 }

// hermite returns the cubic that runs from p at 0 to q at 1 with their slopes.
func hermite(p, q slope) cubic {
	rise := q.deg - p.deg
	return cubic{p.deg, p.perPiece, 3*rise - 2*p.perPiece - q.perPiece, p.perPiece + q.perPiece - 2*rise}
}

func (c *cubic) at(t float64) float64 { return c.c0 + t*(c.c1+t*(c.c2+t*c.c3)) }

func (c *cubic) slopeAt(t float64) float64 { return c.c1 + t*(2*c.c2+3*t*c.c3) }

// in returns the polynomial counted from an origin in units of 1/per.
func (c *cubic) in(origin, per float64) cubic {
	return cubic{(c.c0 - origin) * per, c.c1 * per, c.c2 * per, c.c3 * per}
}

// turns appends where between 0 and 1 the polynomial turns from rising to falling or
// the reverse.
func (c *cubic) turns(at []float64) []float64 {
	// The slope lies among its Bézier control values (G. Farin, Curves and Surfaces
	// for CAGD, convex hull property).
	begin, middle, end := c.c1, c.c1+c.c2, c.c1+2*c.c2+3*c.c3
	if begin >= 0 && middle >= 0 && end >= 0 || begin <= 0 && middle <= 0 && end <= 0 {
		return at
	}
	// The roots of c1 + 2 c2 t + 3 c3 t², without cancellation.
	q := -(c.c2 + math.Copysign(math.Sqrt(c.c2*c.c2-3*c.c3*c.c1), c.c2))
	for _, t := range [2]float64{q / (3 * c.c3), c.c1 / q} {
		if t > 0 && t < 1 {
			at = append(at, t)
		}
	}
	return at
}
