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
