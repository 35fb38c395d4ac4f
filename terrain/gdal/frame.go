//go:build gdal

package gdal

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// frame is an endless lattice of posts, into which rasters fit that continue each other: it takes
// places to columns and rows. Columns run east or along the raster's own rows, rows run south or
// along its columns; a raster has its first post at some column and row.
type frame interface {
	// locate writes the position of each place to s, which has room for them.
	locate(at []orb.Point, s *spots) error
	// turn is the number of columns round the earth, 0 if the frame has no such
	// number.
	turn() int
	// same tells by how many posts the origin of another frame lies off this
	// one's, if both are the same lattice to within seamStep.
	same(other frame) (cols, rows int, ok bool)
}

// seamStep is how far, in steps, posts may lie off the lattice they are taken to
// belong to.
const seamStep = 1e-4

// snapStep is that of terrain.Grid: a place this close to a post, in steps, is
// on it.
const snapStep = 1e-7

// spots are positions in a frame: the post at or before each place, and the way
// to the next one, from 0 to below 1. Where ok is false the place has none.
type spots struct {
	col, row []int
	u, v     []float64
	ok       []bool
	x, y, z  []float64 // scratch
	index    []int     // scratch
}

// chunk is the number of places located at a time.
const chunk = 512

func newSpots() *spots {
	return &spots{
		col: make([]int, chunk), row: make([]int, chunk), u: make([]float64, chunk), v: make([]float64, chunk),
		ok: make([]bool, chunk),
		x:  make([]float64, chunk), y: make([]float64, chunk), z: make([]float64, chunk), index: make([]int, chunk),
	}
}

// postAndFraction splits a position in steps into a post and the way to the
// next, by the arithmetic of terrain.Grid but for negative positions.
func postAndFraction(x, snap float64) (post int, fraction float64) {
	whole := math.Floor(x)
	post, fraction = int(whole), x-whole
	if fraction < snap {
		return post, 0
	}
	if fraction > 1-snap {
		return post + 1, 0
	}
	return post, fraction
}

// set stores a position given in steps, none if it is NaN or beyond counting.
func (s *spots) set(i int, x, y, snapX, snapY float64) {
	if s.ok[i] = math.Abs(x) < 1<<40 && math.Abs(y) < 1<<40; !s.ok[i] {
		return
	}
	s.col[i], s.u[i] = postAndFraction(x, snapX)
	s.row[i], s.v[i] = postAndFraction(y, snapY)
}

// degreeFrame has its posts on even parts of a degree. Columns count from the
// prime meridian, rows from the north pole. Every place is measured from its
// own square degree, as in a tile of that degree.
type degreeFrame struct{ perLon, perLat int }

func (f degreeFrame) turn() int { return 360 * f.perLon }

func (f degreeFrame) same(other frame) (cols, rows int, ok bool) { return 0, 0, frame(f) == other }

func (f degreeFrame) locate(at []orb.Point, s *spots) error {
	// 1/(1/n), not n: the built-in readers know the step and take its inverse.
	perLon, perLat := 1/(1/float64(f.perLon)), 1/(1/float64(f.perLat))
	for i, p := range at {
		// Negated comparisons leave out NaN and infinity.
		if s.ok[i] = math.Abs(p[0]) <= 1<<20 && math.Abs(p[1]) <= 90; !s.ok[i] {
			continue
		}
		west, south := math.Floor(p[0]), math.Floor(p[1])
		x := (p[0] - west) * perLon
		if math.Abs(p[0]) > 180 {
			x = (p[0] - west) / (1 / float64(f.perLon)) // they divide after taking off the turns
		}
		s.col[i], s.u[i] = postAndFraction(x, snapStep)
		s.row[i], s.v[i] = postAndFraction((south+1-p[1])*perLat, snapStep)
		s.col[i] += int(west) * f.perLon
		s.row[i] += (89 - int(south)) * f.perLat
	}
	return nil
}

// lonLatFrame has its posts at any longitudes and latitudes; it counts from the
// first post of a raster, by the arithmetic of terrain.Grid.
type lonLatFrame struct{ west, north, stepLon, stepLat float64 }

// turn is the number of columns round the earth if they fit.
func (f lonLatFrame) turn() int {
	n := 360 / f.stepLon
	if whole := math.Round(n); math.Abs(n-whole) <= seamStep {
		return int(whole)
	}
	return 0
}

func (f lonLatFrame) same(other frame) (cols, rows int, ok bool) {
	o, is := other.(lonLatFrame)
	if !is || !nearlyEqual(o.stepLon, f.stepLon) || !nearlyEqual(o.stepLat, f.stepLat) {
		return 0, 0, false
	}
	dLon := math.Remainder(o.west-f.west, 360)
	return wholeSteps(dLon/f.stepLon, (f.north-o.north)/f.stepLat)
}

func (f lonLatFrame) locate(at []orb.Point, s *spots) error {
	perLon, perLat := 1/f.stepLon, 1/f.stepLat
	for i, p := range at {
		d := p[0] - f.west
		if !(d >= -snapStep*f.stepLon && d < 360) {
			d = math.Mod(d, 360)
			if d < 0 {
				d += 360
			}
			if d-360 >= -snapStep*f.stepLon {
				d -= 360
			}
		}
		s.set(i, d*perLon, (f.north-p[1])*perLat, snapStep, snapStep)
	}
	return nil
}

// affineFrame has its posts at even steps in a coordinate system of its own.
type affineFrame struct {
	system *transformer // nil if the system is longitude and latitude on WGS 84
	toPost [6]float64   // x, y of the system to steps from the first post
	forth  [6]float64   // its inverse
	// snapX and snapY are 0.2 mm on the ground in steps: coordinates told to
	// 1e-9 degrees put a place that far off its post.
	snapX, snapY float64
	// near is the area outside which nothing needs to be transformed.
	near *orb.Bound
	// lonFrom is the longitude the system's own are counted up from, if it is
	// geographic; else NaN.
	lonFrom float64
}

func (f *affineFrame) turn() int { return 0 }

func (f *affineFrame) same(other frame) (cols, rows int, ok bool) {
	o, is := other.(*affineFrame)
	if !is || o.system != f.system || !finite(f.lonFrom) != !finite(o.lonFrom) {
		return 0, 0, false
	}
	for _, k := range []int{1, 2, 4, 5} {
		if !(math.Abs(o.forth[k]-f.forth[k]) <= 1e-9*(math.Abs(f.forth[1])+math.Abs(f.forth[2]))) {
			return 0, 0, false
		}
	}
	x, y := transform(f.toPost, o.forth[0], o.forth[3])
	return wholeSteps(x, y)
}

func (f *affineFrame) locate(at []orb.Point, s *spots) error {
	n := 0
	for i, p := range at {
		s.ok[i] = false
		lon := p[0]
		if !(math.Abs(lon) <= 1<<20 && math.Abs(p[1]) <= 90) {
			continue
		}
		if f.near != nil {
			// The area is less than a full turn wide and may lie across ±180°.
			lon = f.near.Min[0] + turned(lon-f.near.Min[0])
			if !(lon <= f.near.Max[0] && p[1] >= f.near.Min[1] && p[1] <= f.near.Max[1]) {
				continue
			}
		}
		s.x[n], s.y[n], s.index[n] = math.Remainder(lon, 360), p[1], i
		n++
	}
	x, y := s.x[:n], s.y[:n]
	if f.system != nil {
		if err := f.system.to.apply(x, y, s.z[:n]); err != nil {
			return err
		}
	}
	for k, i := range s.index[:n] {
		if finite(f.lonFrom) {
			x[k] = f.lonFrom + turned(x[k]-f.lonFrom)
		}
		col, row := transform(f.toPost, x[k], y[k])
		s.set(i, col, row, f.snapX, f.snapY)
	}
	return nil
}

// turned brings an angle into 0 up to 360°.
func turned(deg float64) float64 {
	if deg = math.Mod(deg, 360); deg < 0 {
		deg += 360
	}
	return deg
}

// transform applies a geotransform in GDAL's order of coefficients.
func transform(g [6]float64, x, y float64) (float64, float64) {
	return g[0] + x*g[1] + y*g[2], g[3] + x*g[4] + y*g[5]
}

// invert returns the inverse of a geotransform, false if there is none.
func invert(g [6]float64) (inv [6]float64, ok bool) {
	det := g[1]*g[5] - g[2]*g[4]
	if !finite(det) || det == 0 || !finite(1/det) {
		return inv, false
	}
	inv[1], inv[2], inv[4], inv[5] = g[5]/det, -g[2]/det, -g[4]/det, g[1]/det
	inv[0] = -g[0]*inv[1] - g[3]*inv[2]
	inv[3] = -g[0]*inv[4] - g[3]*inv[5]
	return inv, finite(inv[0]) && finite(inv[3])
}

func nearlyEqual(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Abs(b) }

// wholeSteps rounds a distance in steps if it is whole to within seamStep.
func wholeSteps(x, y float64) (cols, rows int, ok bool) {
	if !(math.Abs(x) < 1<<40 && math.Abs(y) < 1<<40) {
		return 0, 0, false
	}
	cols, rows = int(math.Round(x)), int(math.Round(y))
	return cols, rows, math.Abs(x-float64(cols)) <= seamStep && math.Abs(y-float64(rows)) <= seamStep
}

// evenPart tells whether posts from first on, count of them, step apart, lie on
// even parts of a degree to within seamStep, and which.
func evenPart(first, step float64, count int) (perDegree, index int, ok bool) {
	n, k := math.Round(1/step), 0.0
	if !(n >= 1 && n < 1<<30) {
		return 0, 0, false
	}
	k = math.Round(first * n)
	drift := math.Abs(step*n-1) * float64(count-1)
	return int(n), int(k), drift <= seamStep && math.Abs(first*n-k) <= seamStep
}

// lattice returns the frame of a longitude/latitude raster, and the column and
// row of its first post in it.
func lonLatLattice(l terrain.Lattice) (f frame, col, row int) {
	perLon, col, okLon := evenPart(l.WestDeg, l.StepLonDeg, l.Cols)
	perLat, row, okLat := evenPart(l.NorthDeg, l.StepLatDeg, l.Rows)
	if okLon && okLat {
		return degreeFrame{perLon, perLat}, col, 90*perLat - row
	}
	return lonLatFrame{l.WestDeg, l.NorthDeg, l.StepLonDeg, l.StepLatDeg}, 0, 0
}
