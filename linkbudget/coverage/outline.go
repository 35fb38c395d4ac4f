package coverage

import (
	"math"

	"github.com/paulmach/orb"
)

// Outline returns the outline of all cells that inside accepts, along the edges
// of the cells: it says which cells count and invents nothing between them.
//
// The polygons follow RFC 7946: rings closed, the outer one counter-clockwise,
// holes clockwise, no ring touching itself; an area across the antimeridian is
// cut there (§3.1.9). Cells that meet at a corner only are separate polygons.
// The order is by first cell, from the north-west.
func (r *Raster) Outline(inside func(Cell) bool) orb.MultiPolygon {
	var out orb.MultiPolygon
	if r.Check() != nil || inside == nil {
		return nil
	}
	for _, part := range r.turns() {
		t := tracer{r: r, part: part, cols: part.to - part.from}
		t.mark(inside)
		out = append(out, t.polygons()...)
	}
	return out
}

// part is a run of columns without the antimeridian inside.
type part struct {
	from, to         int
	shiftDeg         float64 // added to its longitudes
	westDeg, eastDeg float64 // its outer edges
}

// turns cuts the columns at the antimeridian. One that lies on it belongs to both
// sides, each with its share of the width.
func (r *Raster) turns() []part {
	edge := func(col int) float64 { return r.WestDeg + (float64(col)-0.5)*r.StepLonDeg }
	const slack = 1e-6 // of a column: an edge so near to the antimeridian lies on it
	column := func(lonDeg float64) float64 { return (lonDeg - edge(0)) / r.StepLonDeg }
	var parts []part
	for turn := math.Floor((edge(0)+slack*r.StepLonDeg+180)/360) * 360; ; turn += 360 {
		from := max(int(math.Floor(column(turn-180)+slack)), 0)
		to := min(int(math.Ceil(column(turn+180)-slack)), r.Cols)
		if from >= to {
			return parts
		}
		parts = append(parts, part{
			from: from, to: to, shiftDeg: -turn,
			westDeg: max(edge(from)-turn, -180), eastDeg: min(edge(to)-turn, 180),
		})
	}
}

// tracer follows the edges of a mask. Corners are numbered by column and row of
// the cell to their south-east; every edge has the inside on its left.
type tracer struct {
	r     *Raster
	part  part
	cols  int
	label []int32 // of each cell: 0 outside, else its connected area
	areas int32
	used  []uint8 // bits of the edges of a cell already walked
}

// The four directions, counter-clockwise, and the edge of a cell walked in each:
// east along its southern edge, north along its eastern one, and so on.
const (
	east = iota
	north
	west
	south
)

// mark labels the cells by area, neighbours across an edge belonging together.
func (t *tracer) mark(inside func(Cell) bool) {
	rows := t.r.Rows
	t.label, t.used = make([]int32, t.cols*rows), make([]uint8, t.cols*rows)
	in := make([]bool, len(t.label))
	for row := range rows {
		for col := range t.cols {
			in[row*t.cols+col] = inside(t.r.Cell(row*t.r.Cols + t.part.from + col))
		}
	}
	var queue []int
	for i := range in {
		if !in[i] || t.label[i] != 0 {
			continue
		}
		t.areas++
		t.label[i] = t.areas
		queue = append(queue[:0], i)
		for len(queue) > 0 {
			k := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for d := range 4 {
				if n, ok := t.beside(k, d); ok && in[n] && t.label[n] == 0 {
					t.label[n] = t.areas
					queue = append(queue, n)
				}
			}
		}
	}
}

// beyond leads from a cell to the one across the edge walked in each direction, starts to
// the corner where that edge begins.
var (
	beyond = [4]corner{east: {0, 1}, north: {1, 0}, west: {0, -1}, south: {-1, 0}}
	starts = [4]corner{east: {0, 1}, north: {1, 1}, west: {1, 0}, south: {0, 0}}
)

// beside returns the cell across the edge that is walked in direction d.
func (t *tracer) beside(cell, d int) (int, bool) {
	col, row := cell%t.cols+beyond[d].col, cell/t.cols+beyond[d].row
	return row*t.cols + col, col >= 0 && col < t.cols && row >= 0 && row < t.r.Rows
}

// open reports whether the edge of a cell walked in direction d is an outline.
func (t *tracer) open(cell, d int) bool {
	n, ok := t.beside(cell, d)
	return !ok || t.label[n] == 0
}

// corner is a corner of cells.
type corner struct{ col, row int }

// startOf returns where the edge of a cell walked in direction d begins.
func (t *tracer) startOf(cell, d int) corner {
	return corner{cell%t.cols + starts[d].col, cell/t.cols + starts[d].row}
}

// next returns the edge after one: a left turn stays with the cell, which
// keeps cells apart that meet at a corner only.
func (t *tracer) next(cell, d int) (int, int) {
	left := (d + 1) % 4
	if t.open(cell, left) {
		return cell, left
	}
	ahead, _ := t.beside(cell, left)
	if t.open(ahead, d) {
		return ahead, d
	}
	side, _ := t.beside(ahead, d)
	return side, (d + 3) % 4
}

// polygons walks all edges and sorts the rings by area.
func (t *tracer) polygons() orb.MultiPolygon {
	outer := make([][]orb.Ring, t.areas)
	holes := make([][]orb.Ring, t.areas)
	for cell, label := range t.label {
		if label == 0 {
			continue
		}
		for d := range 4 {
			if !t.open(cell, d) || t.used[cell]>>d&1 != 0 {
				continue
			}
			for _, ring := range t.walk(cell, d) {
				if ring.Orientation() == orb.CCW {
					outer[label-1] = append(outer[label-1], ring)
				} else {
					holes[label-1] = append(holes[label-1], ring)
				}
			}
		}
	}
	var out orb.MultiPolygon
	for i, rings := range outer {
		for k, ring := range rings {
			p := orb.Polygon{ring}
			if k == 0 {
				p = append(p, holes[i]...)
			}
			out = append(out, p)
		}
	}
	return out
}

// walk follows one outline and returns it as rings that pass each corner once.
func (t *tracer) walk(cell, d int) []orb.Ring {
	var corners []corner
	c, k := cell, d
	for t.used[c]>>k&1 == 0 {
		t.used[c] |= 1 << k
		corners = append(corners, t.startOf(c, k))
		c, k = t.next(c, k)
	}
	var rings []orb.Ring
	at := map[corner]int{}
	var open []corner
	for _, p := range corners {
		if i, seen := at[p]; seen {
			rings = append(rings, t.ring(open[i:]))
			for _, gone := range open[i+1:] {
				delete(at, gone)
			}
			open = open[:i]
		}
		at[p] = len(open)
		open = append(open, p)
	}
	return append(rings, t.ring(open))
}

// ring leaves out the corners on straight stretches and closes the ring.
func (t *tracer) ring(c []corner) orb.Ring {
	var ring orb.Ring
	n := len(c)
	for i, p := range c {
		a, b := c[(i+n-1)%n], c[(i+1)%n]
		if a.col == p.col && p.col == b.col || a.row == p.row && p.row == b.row {
			continue
		}
		ring = append(ring, t.place(p))
	}
	return append(ring, ring[0])
}

// place of a corner, degrees, rounded to 1e-7 (1 cm).
func (t *tracer) place(c corner) orb.Point {
	lon := t.r.WestDeg + (float64(c.col+t.part.from)-0.5)*t.r.StepLonDeg + t.part.shiftDeg
	lat := t.r.NorthDeg - (float64(c.row)-0.5)*t.r.StepLatDeg
	if c.col == 0 {
		lon = t.part.westDeg
	} else if c.col == t.cols {
		lon = t.part.eastDeg
	}
	return orb.Point{math.Round(lon*1e7) / 1e7, math.Round(min(max(lat, -90), 90)*1e7) / 1e7}
}
