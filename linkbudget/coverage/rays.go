package coverage

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// The area is cut into four quadrants of about 90 degrees. In each, rays leave
// the pole for the posts along the far edge of a square and are looked at where
// they cross the lines of posts: columns in the eastern and western quadrant,
// rows in the others. Each judges the cells that lie nearer to it than to its
// neighbours.
//
// bundle holds what all rays share.
type bundle struct {
	w      *window
	at     orb.Point
	u0, v0 float64 // the pole, in columns and rows of the window
	latM   float64 // a degree of latitude at the pole
	// halfCols and halfRows are half the square, in posts: the same distance on
	// the ground within a post.
	halfCols, halfRows int
	// perPost rays aim at every post of the far edge: one, or more where posts are
	// far apart or the area is so small that rays would be, in angle.
	perPost int
	levels  int        // of forks, beside level 0
	exact   [4][]curve // by quadrant, at even places from one end of the far edge to the other
}

// quadrant is a quarter of all directions.
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
// polynomials of degree 5 miss the geodesic by 3 mm at 300 km and 60° latitude, by
// more nearer to the poles of the earth (see the test).
type curve struct {
	from        float64
	cross, dist [nodes]float64
	azimuthDeg  float64 // at the pole
	convergeDeg float64 // change of the azimuth up to s = 1
	start, perS float64 // the pole on the axis; axis positions per unit of s, signed
}

// newBundle prepares the rays from at over the cells of a window.
func newBundle(w *window, at orb.Point) *bundle {
	f := &bundle{w: w, at: at, u0: (at[0] - w.WestDeg) / w.StepLonDeg, v0: (w.NorthDeg - at[1]) / w.StepLatDeg}
	_, f.latM = terrain.DegreeSizesM(at[1])
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
	f.perPost = max(f.perPost, w.fine())
	for f.perPost*min(f.halfRows, f.halfCols)>>(f.levels+1) >= leastRays {
		f.levels++
	}
	for i, q := range quadrants {
		for k := -exactCurves; k <= exactCurves; k++ {
			f.exact[i] = append(f.exact[i], f.solve(q, f.half(q)*float64(k)/exactCurves))
		}
	}
	return f
}

// leastRays is the least number of rays on one side of a quadrant's axis: within
// 1/128 a ray passes by the cells that it judges.
const leastRays = 64

// half returns the place of the last ray on one side of the quadrant's axis.
func (f *bundle) half(q quadrant) float64 {
	if q.alongRows {
		return float64(f.halfCols * f.perPost)
	}
	return float64(f.halfRows * f.perPost)
}

// place returns where ray p of a level aims at, in rays of level 0 from the axis.
// It ends in rays 2p and 2p+1 of the level below.
func place(level, p int) float64 {
	return (float64(p)+0.5)*float64(int(1)<<level) - 0.5
}

// Samples and rays are at most fineM apart, but not more than mostFine on a post. On the
// Cumberland terrain, posts every 93 m, with one 5 % of cells are more than 1 dB off.
const (
	fineM    = 50.0
	mostFine = 4
)

// fine is how many rays or samples go on one post.
func (w *window) fine() int {
	return min(int(math.Ceil(w.StepLatDeg*metresPerDegree/fineM)), mostFine)
}

// apart is how far from each other rays may be before they fork, in posts: on made ground
// with posts every 31 m, 5 % of cells then differ from their own paths by more than 0.62 dB.
func (w *window) apart() float64 {
	if w.fine() == 1 {
		return 2.0
	}
	return 0.35
}

// lastLine returns the last line of posts, counted from the pole, up to which rays
// of that level are dense enough.
func (f *bundle) lastLine(q quadrant, level int) int {
	lines := f.halfCols
	if q.alongRows {
		lines = f.halfRows
	}
	return int(f.w.apart()*float64(lines*f.perPost)/float64(int(1)<<level)) - 1
}

// exactCurves on one side of the axis are solved; the others are cubics through four.
const exactCurves = 64

// curve returns the ray of a quadrant that aims at that place, counted in rays
// from its axis.
func (f *bundle) curve(quadrantNumber int, at float64) curve {
	all := f.exact[quadrantNumber]
	x := (at/f.half(quadrants[quadrantNumber]) + 1) * exactCurves
	i := min(max(int(x)-1, 0), len(all)-4)
	u := x - float64(i)
	w := [4]float64{
		-(u - 1) * (u - 2) * (u - 3) / 6, u * (u - 2) * (u - 3) / 2,
		-u * (u - 1) * (u - 3) / 2, u * (u - 1) * (u - 2) / 6,
	}
	c := all[i]
	c.convergeDeg, c.azimuthDeg, c.cross, c.dist = 0, 0, [nodes]float64{}, [nodes]float64{}
	for k, weight := range w {
		other := &all[i+k]
		c.azimuthDeg += weight * math.Remainder(other.azimuthDeg-all[i].azimuthDeg, 360)
		c.convergeDeg += weight * other.convergeDeg
		for m := range nodes {
			c.cross[m] += weight * other.cross[m]
			c.dist[m] += weight * other.dist[m]
		}
	}
	c.azimuthDeg += all[i].azimuthDeg
	return c
}

// solve finds a ray by geodesics.
func (f *bundle) solve(q quadrant, at float64) curve {
	aside := at / float64(f.perPost)
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

// along turns a position along the axis into s.
func (c *curve) along(position float64) float64 { return (position - c.start) / c.perS }

// at returns position across the axis and distance from the pole, m, at s.
func (c *curve) at(s float64) (cross, distM float64) {
	d := &c.dist
	distM = d[0] + s*(d[1]+s*(d[2]+s*(d[3]+s*(d[4]+s*d[5]))))
	return c.across(s), s * distM
}

// across returns the position across the axis alone.
func (c *curve) across(s float64) float64 {
	p := &c.cross
	return c.from + s*(p[0]+s*(p[1]+s*(p[2]+s*(p[3]+s*(p[4]+s*p[5])))))
}

// owned reports whether a post belongs to the eastern or western quadrant: from
// its first ray on, up to but without its last. The other two quadrants have what
// is left, so that every post belongs to exactly one.
func (f *bundle) owned(col, row float64) bool {
	i := 0
	if col < f.u0 {
		i = 1
	} else if col == f.u0 {
		return false
	}
	first, last := &f.exact[i][0], &f.exact[i][2*exactCurves]
	return row >= first.across(first.along(col)) && row < last.across(last.along(col))
}
