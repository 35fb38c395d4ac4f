package terrain

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// Lattice is a regular set of longitude/latitude posts.
//
// It counts posts, not cells: post (0,0) is the north-west one and the outermost
// posts are the edge of the area. A format that counts cells (ESRI ASCII grid)
// has its posts at the cell centres.
type Lattice struct {
	// WestDeg and NorthDeg place post (0,0), degrees on WGS 84.
	WestDeg, NorthDeg float64
	// StepLonDeg and StepLatDeg are the distances between posts, degrees, both
	// above 0: columns run east, rows run south.
	StepLonDeg, StepLatDeg float64
	// Cols and Rows count posts, both 1 or more.
	Cols, Rows int
}

// Extent returns the outermost posts and the post spacing.
func (l Lattice) Extent() Extent {
	return Extent{StepLonDeg: l.StepLonDeg, StepLatDeg: l.StepLatDeg, Bound: orb.Bound{
		Min: orb.Point{l.WestDeg, l.NorthDeg - float64(l.Rows-1)*l.StepLatDeg},
		Max: orb.Point{l.WestDeg + float64(l.Cols-1)*l.StepLonDeg, l.NorthDeg},
	}}
}

// Post returns the place of the post in the given column (from the west) and
// row (from the north), degrees.
func (l Lattice) Post(col, row int) orb.Point {
	return orb.Point{l.WestDeg + float64(col)*l.StepLonDeg, l.NorthDeg - float64(row)*l.StepLatDeg}
}

// Check returns every fault of the lattice: a value that is not finite, a step
// not above 0, no posts, more posts than an int can count, posts beyond a pole
// or more than once round the earth.
func (l Lattice) Check() error {
	if err := l.faults(); err != nil {
		return fmt.Errorf("terrain: lattice: %w", err)
	}
	return nil
}

// faults is Check without the subject, for readers that name their file.
func (l Lattice) faults() error {
	var errs []error
	add := func(format string, args ...any) { errs = append(errs, fault.Input(format, args...)) }
	if !(math.Abs(l.WestDeg) <= 360) {
		add("west edge at %g°, must be within ±360°", l.WestDeg)
	}
	if !finite(l.NorthDeg) {
		add("north edge at %g°, must be within ±90°", l.NorthDeg)
	}
	if !(l.StepLonDeg > 0) || !finite(l.StepLonDeg) {
		add("longitude step of %g°, must be above 0°", l.StepLonDeg)
	}
	if !(l.StepLatDeg > 0) || !finite(l.StepLatDeg) {
		add("latitude step of %g°, must be above 0°", l.StepLatDeg)
	}
	if l.Cols < 1 || l.Rows < 1 {
		add("%d columns by %d rows, must be 1 or more each", l.Cols, l.Rows)
	} else if l.Cols > math.MaxInt/l.Rows {
		add("%d columns by %d rows are more posts than can be counted", l.Cols, l.Rows)
	}
	if len(errs) > 0 {
		return errors.Join(errs...)
	}
	b := l.Extent().Bound
	// Files round their edges; a thousandth of a step outside is noise.
	slack := l.StepLatDeg * 1e-3
	if !(b.Max[1] <= 90+slack) || !(b.Min[1] >= -90-slack) {
		add("latitudes %g° to %g°, must be within ±90°", b.Min[1], b.Max[1])
	}
	if width := b.Max[0] - b.Min[0]; !(width <= 360+l.StepLonDeg*1e-3) {
		add("%g° wide, must be at most 360°", width)
	}
	return errors.Join(errs...)
}

// finite reports whether x is neither NaN nor infinite.
func finite(x float64) bool { return x-x == 0 }

// unionExtent returns the area that spans all extents, with the finest steps
// among them; the zero Extent for none. An extent with a step of 0 covers
// nothing and is left out.
func unionExtent(extents []Extent) Extent {
	var u Extent
	for _, e := range extents {
		if !(e.StepLonDeg > 0) || !(e.StepLatDeg > 0) {
			continue
		}
		if u.StepLonDeg == 0 {
			u = e
			continue
		}
		both := Extent{
			Bound:      u.Bound.Union(e.Bound),
			StepLonDeg: min(u.StepLonDeg, e.StepLonDeg),
			StepLatDeg: min(u.StepLatDeg, e.StepLatDeg),
		}
		both.Irregular = !both.holds(u) || !both.holds(e)
		u = both
	}
	return u
}

// holds reports whether all posts of another extent stand on lines of e's.
func (e Extent) holds(other Extent) bool {
	whole := func(deg, stepDeg float64) bool {
		steps := deg / stepDeg
		return math.Abs(steps-math.Round(steps)) <= alignedSteps
	}
	// A step that is off adds up over the extent.
	west, east := other.Bound.Min[0]-e.Bound.Min[0], other.Bound.Max[0]-e.Bound.Min[0]
	north, south := e.Bound.Max[1]-other.Bound.Max[1], e.Bound.Max[1]-other.Bound.Min[1]
	return !other.Irregular && whole(other.StepLonDeg, e.StepLonDeg) && whole(other.StepLatDeg, e.StepLatDeg) &&
		whole(west, e.StepLonDeg) && whole(east, e.StepLonDeg) && whole(north, e.StepLatDeg) && whole(south, e.StepLatDeg)
}

// lattice returns where the lines of posts lie, in the turn of longitudes in which the
// line meets them; irregular is true where the posts along the line stand on none.
func (e Extent) lattice(line *geodesicLine) (l Lattice, irregular bool) {
	l = Lattice{WestDeg: e.Bound.Min[0], NorthDeg: e.Bound.Max[1], StepLonDeg: e.StepLonDeg, StepLatDeg: e.StepLatDeg}
	if e.Irregular || !finite(l.WestDeg) || !finite(l.NorthDeg) {
		return l, true
	}
	a := line.area()
	l.WestDeg += 360 * math.Round(((a.west+a.east)-(e.Bound.Min[0]+e.Bound.Max[0]))/720)
	widthDeg := e.Bound.Max[0] - e.Bound.Min[0]
	if a.west >= l.WestDeg && a.east <= l.WestDeg+widthDeg {
		return l, false
	}
	// Elsewhere the line may meet the extent in another turn too.
	turn := 360 / l.StepLonDeg
	return l, !(math.Abs(turn-math.Round(turn)) <= alignedSteps || max(a.east, l.WestDeg+widthDeg)-min(a.west,
		l.WestDeg) < 360)
}
