package coverage

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// The area is cut into four quadrants of about 90 degrees. In each, rays leave
// the pole for the posts along the far edge of a square and are looked at where
// they cross the lines of posts: columns in the eastern and western quadrant,
// rows in the others. Two neighbouring rays are at most one post apart, so that
// between them there is at most one cell on a line.
//
// fan holds what all rays share.
type fan struct {
	w      *window
	at     orb.Point
	u0, v0 float64 // the pole, in columns and rows of the window
	// halfCols and halfRows are half the square, in posts: the same distance on
	// the ground within a post.
	halfCols, halfRows int
	// perPost rays aim at every post of the far edge: one, or more where the area
	// is so small that rays would stand far apart in angle.
	perPost int
	bounds  [4]curve // of the eastern (low, high) and western quadrant
}

// quadrant is a quarter of the fan.
type quadrant struct {
	alongRows bool // the ray crosses rows, not columns
	sign      float64
}

var quadrants = [4]quadrant{{false, 1}, {false, -1}, {true, 1}, {true, -1}}

// nodes is the number of exact places on a ray beside the pole.
const nodes = 6

// curve is one ray, a geodesic, in the frame of its quadrant: with s running
// from 0 at the pole to 1 at the far edge of the square, along the axis,
// cross = from + s P(s) and dist = s Q(s). Through six exact places the
// polynomials of degree 5 miss the geodesic by less than 1 mm at 300 km and
// 60° latitude (computed when this was written).
type curve struct {
	from        float64
	cross, dist [nodes]float64
	azimuthDeg  float64 // at the pole
	convergeDeg float64 // change of the azimuth up to s = 1
	start, perS float64 // the pole on the axis; axis positions per unit of s, signed
}

// newFan prepares the rays from at over a window whose cells reach radiusM.
func newFan(w *window, at orb.Point, radiusM float64) *fan {
	f := &fan{w: w, at: at, u0: (at[0] - w.WestDeg) / w.StepLonDeg, v0: (w.NorthDeg - at[1]) / w.StepLatDeg}
	c := w.cells
	reach := func(pole, first float64, count int) float64 {
		return max(math.Abs(first-pole), math.Abs(first+float64((count-1)*w.every)-pole))
	}
	cols, rows := reach(f.u0, float64(w.firstCol), c.Cols)+1, reach(f.v0, float64(w.firstRow), c.Rows)+1
	// The square is as large as the farther of both asks for.
	aspect := math.Cos(at[1]*math.Pi/180) * w.StepLonDeg / w.StepLatDeg // width of a post over its height
	rows = max(rows, cols*aspect)
	f.halfRows, f.halfCols = int(math.Ceil(rows)), int(math.Ceil(rows/aspect))
	f.perPost = max(1, (leastRays+min(f.halfRows, f.halfCols)-1)/min(f.halfRows, f.halfCols))
	for i, q := range quadrants[:2] {
		f.bounds[2*i], f.bounds[2*i+1] = f.curve(q, -f.half(q)), f.curve(q, f.half(q))
	}
	return f
}

// leastRays is the least number of rays on one side of a quadrant's axis. Between
// two rays distances are interpolated along a line of posts, which at an angle of
// 1/64 is good to 3e-5.
const leastRays = 64

// half returns the rays on one side of the quadrant's axis.
func (f *fan) half(q quadrant) int {
	if q.alongRows {
		return f.halfCols*f.perPost + 1 // one more: see owned
	}
	return f.halfRows * f.perPost
}

// curve returns ray k of a quadrant, counted from its axis.
func (f *fan) curve(q quadrant, k int) curve {
	aside := float64(k) / float64(f.perPost)
	du, dv := q.sign*float64(f.halfCols), aside
	if q.alongRows {
		du, dv = aside, q.sign*float64(f.halfRows)
	}
	target := orb.Point{f.at[0] + du*f.w.StepLonDeg, f.at[1] - dv*f.w.StepLatDeg}
	g := terrain.Inverse(f.at, target)
	c := curve{azimuthDeg: g.AzimuthDeg, convergeDeg: math.Remainder(g.BackAzimuthDeg+180-g.AzimuthDeg, 360)}
	c.from, c.start, c.perS = f.v0, f.u0, q.sign*float64(f.halfCols)
	if q.alongRows {
		c.from, c.start, c.perS = f.u0, f.v0, q.sign*float64(f.halfRows)
	}
	var s [nodes]float64
	for i := range nodes {
		distM := g.DistM * float64(i+1) / nodes
		p := target
		if i < nodes-1 {
			p = terrain.Destination(f.at, g.AzimuthDeg, distM)
		}
		u := f.u0 + math.Remainder(p[0]-f.at[0], 360)/f.w.StepLonDeg
		v := f.v0 + (f.at[1]-p[1])/f.w.StepLatDeg
		along, cross := u, v
		if q.alongRows {
			along, cross = v, u
		}
		s[i] = (along - c.start) / c.perS
		c.cross[i], c.dist[i] = (cross-c.from)/s[i], distM/s[i]
	}
	interpolate(&s, &c.cross)
	interpolate(&s, &c.dist)
	return c
}

// interpolate turns values at s into the coefficients, constant term first, of
// the polynomial through them (Newton's divided differences).
func interpolate(s, v *[nodes]float64) {
	for j := 1; j < nodes; j++ {
		for i := nodes - 1; i >= j; i-- {
			v[i] = (v[i] - v[i-1]) / (s[i] - s[i-j])
		}
	}
	for j := nodes - 2; j >= 0; j-- {
		for i := j; i < nodes-1; i++ {
			v[i] -= s[j] * v[i+1]
		}
	}
}

// at returns position across the axis and distance from the pole, m, where the
// ray passes a position along the axis.
func (c *curve) at(along float64) (cross, distM float64) {
	s := (along - c.start) / c.perS
	p, d := &c.cross, &c.dist
	cross = p[0] + s*(p[1]+s*(p[2]+s*(p[3]+s*(p[4]+s*p[5]))))
	distM = d[0] + s*(d[1]+s*(d[2]+s*(d[3]+s*(d[4]+s*d[5]))))
	return c.from + s*cross, s * distM
}

// owned reports whether a post belongs to the eastern or western quadrant.
// These own the posts from their lowest ray on, up to but without their
// highest; the other two quadrants reach one ray farther than their corners and
// leave out what is owned, so that every post belongs to exactly one.
func (f *fan) owned(col, row float64) bool {
	i := 0
	if col < f.u0 {
		i = 2
	} else if col == f.u0 {
		return false
	}
	low, _ := f.bounds[i].at(col)
	high, _ := f.bounds[i+1].at(col)
	return row >= low && row < high
}
