package siting

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// roadM is the distance along the ground to the nearest of the lines, m, +Inf
// without one. Between two positions a line runs straight in longitude and
// latitude (RFC 7946 section 3.1.1); the distance to it is geodesic.
func roadM(at orb.Point, lines []orb.LineString) float64 {
	// The flat distance is within a few percent where it matters: all parts that
	// might be the nearest are measured.
	limit, best := roughRoadM(at, lines)*1.1+1, math.Inf(1)
	eachPart(at, lines, func(flatM float64, a, b orb.Point) {
		if flatM <= limit {
			best = min(best, toPart(at, a, b))
		}
	})
	return best
}

// toPart is the geodesic distance to one straight part, by golden section: along
// it the distance falls and rises once.
func toPart(at, a, b orb.Point) float64 {
	b[0] = a[0] + wrap(b[0]-a[0])
	dist := func(t float64) float64 {
		return terrain.Inverse(at, orb.Point{wrap(a[0] + t*(b[0]-a[0])), a[1] + t*(b[1]-a[1])}).DistM
	}
	const ratio = 0.6180339887498949
	lo, hi := 0.0, 1.0
	x, y := hi-ratio*(hi-lo), lo+ratio*(hi-lo)
	dx, dy := dist(x), dist(y)
	for range 45 { // to 4e-10 of the part
		if dx < dy {
			hi, y, dy = y, x, dx
			x = hi - ratio*(hi-lo)
			dx = dist(x)
		} else {
			lo, x, dx = x, y, dy
			y = lo + ratio*(hi-lo)
			dy = dist(y)
		}
	}
	return min(dx, dy, dist(0), dist(1))
}

// roughRoadM is roadM on a plane that touches the earth at the place: right to
// a percent within some tens of kilometres.
func roughRoadM(at orb.Point, lines []orb.LineString) float64 {
	best := math.Inf(1)
	eachPart(at, lines, func(flatM float64, _, _ orb.Point) { best = min(best, flatM) })
	return best
}

// eachPart calls f with the straight parts of all lines and their distance on that plane.
func eachPart(at orb.Point, lines []orb.LineString, f func(flatM float64, a, b orb.Point)) {
	lonM, latM := terrain.DegreeSizesM(at[1])
	flat := func(p orb.Point) orb.Point { return orb.Point{wrap(p[0]-at[0]) * lonM, (p[1] - at[1]) * latM} }
	for _, line := range lines {
		for i := 1; i < len(line); i++ {
			f(fromOriginM(flat(line[i-1]), flat(line[i])), line[i-1], line[i])
		}
	}
}

// fromOriginM is the distance of (0, 0) from a straight segment.
func fromOriginM(a, b orb.Point) float64 {
	x, y := b[0]-a[0], b[1]-a[1]
	t := 0.0
	if l2 := x*x + y*y; l2 > 0 {
		t = min(max(-(a[0]*x+a[1]*y)/l2, 0), 1)
	}
	return math.Hypot(a[0]+t*x, a[1]+t*y)
}

// leastRoadM is a distance that roadM surely does not fall below, at less cost: what
// roughRoadM may be wrong by is taken off.
func leastRoadM(at orb.Point, lines []orb.LineString) float64 {
	return max(roughRoadM(at, lines)*0.98-1, 0)
}

// tooFar reports whether a place lies beyond Options.MaxRoadM.
func (o Options) tooFar(at orb.Point) bool {
	return o.MaxRoadM > 0 && (leastRoadM(at, o.Roads) > o.MaxRoadM || roadM(at, o.Roads) > o.MaxRoadM)
}
