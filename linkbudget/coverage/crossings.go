package coverage

import (
	"math"

	"github.com/polereach/polereach/terrain"
)

// crossings says where all rays of a quadrant take their samples, on and between the
// lines of posts, and how to find the heights there.
type crossings struct {
	number        int // of the quadrant
	q             quadrant
	h             []float32
	along, across int // from post to post in h
	lines, width  int
	sign          int
	start         float64 // the pole on the axis
	samples       []crossing
	cellsFrom     float64   // the first line with cells, along the axis
	width2        []float64 // square of the way from post to post across the axis, m²
	onLine        []bool    // whether a sample lies on a line of posts
	lined         bool      // whether all do, from even on
	ends          []int     // for each level, the samples up to its end
	even          int       // from that sample on all are equally far from the next:
	evenStep      float64   // so far along the axis, signed

	// Cells that have posts of the window under them and mostDrift around, if there is
	// one for every post: x from cells.low up to before cells.high of the lines with a
	// row.
	cells    struct{ low, high int }
	cellStep int
}

// crossing is where a sample lies along the axis.
type crossing struct {
	along float64
	base  int     // first post of its line in h; -1 unless it lies on a line in h
	line  int     // the line of posts at it or before it, as seen from the pole
	part  float64 // way to the next line, 0 to below 1
	near  int     // first post of the line next to it in h; -1 outside
	row   int     // the cell at x = 0 of its line, which need not be there; noCells without
	plain bool    // whether it has such a row, and lies on a line in h as the nearSamples before it do, equally far apart
}

// noCells marks a line without cells to be found that way.
const noCells = math.MinInt

// The first lines from the pole have more samples between them: ground there decides much.
const (
	fineLines = 3
	fineSteps = 4
)

// newCrossings lays the samples out: step of them from line to line.
func (f *bundle) newCrossings(number, step int) crossings {
	w, q := f.w, quadrants[number]
	along, across := w.sides(q)
	c := crossings{number: number, q: q, h: w.h, along: along.postStep, across: across.postStep, lines: along.posts,
		width: across.posts, sign: int(q.sign), cellStep: across.cellStep, ends: make([]int, f.levels+1)}
	c.cells.low = max(across.first, mostDrift)
	c.cells.high = min(across.first+across.cells, c.width-mostDrift)
	start, halfLines := f.u0, f.halfCols
	if q.alongRows {
		start, halfLines = f.v0, f.halfRows
	}
	c.start, c.evenStep, c.lined = start, q.sign/float64(step), step == 1
	first, last := q.firstLine(start), w.cellsEnd(q)
	c.cellsFrom = w.cellsEnd(quadrant{q.alongRows, -q.sign})
	if (c.cellsFrom-first)*q.sign < 0 {
		c.cellsFrom = first
	}
	for m := range halfLines + 2 {
		line := first + float64(m)*q.sign
		if (line-last)*q.sign > 0 {
			break
		}
		n := step
		if m < fineLines {
			n *= fineSteps
		}
		if m == fineLines && 1/float64(step*halfLines) < evenFrom {
			c.even = len(c.samples)
		}
		for k := n - 1; k >= 0; k-- {
			t := crossing{along: line - q.sign*float64(k)/float64(n), base: -1, line: int(line), row: noCells}
			if (t.along-start)*q.sign < 0.05 { // at the foot of the pole, or behind it
				if k > 0 || math.Abs(t.along-start) < snap { // all that a line through the pole has for the quadrant is the foot
					continue
				}
			}
			if k == 0 && t.line >= 0 && t.line < c.lines {
				t.base = t.line * c.along
				t.row = w.rowOf(q, t.line)
			}
			if k > 0 {
				t.line, t.part = t.line-c.sign, 1-float64(k)/float64(n)
			}
			t.near = t.line
			if t.part > 0.5 {
				t.near += c.sign
			}
			if t.near *= c.along; t.near < 0 || t.near >= c.lines*c.along {
				t.near = -1
			}
			c.samples, c.onLine = append(c.samples, t), append(c.onLine, k == 0)
			c.width2 = append(c.width2, f.acrossM2(q, t.along))
		}
		for level := range c.ends {
			if m <= f.lastLine(q, level) {
				c.ends[level] = len(c.samples)
			}
		}
	}
	for level := range c.ends {
		if level == 0 || f.lastLine(q, level) >= halfLines-1 { // the last line or two are not worth a fork
			c.ends[level] = len(c.samples)
		}
	}
	if c.even == 0 {
		c.even = len(c.samples)
	}
	lines := 0 // in a row
	for i := range c.samples {
		t := &c.samples[i]
		if lines++; t.base < 0 || i < c.even {
			lines = 0
		}
		t.plain = lines > nearSamples && t.row != noCells
	}
	return c
}

// steps says how many samples lie between two lines of posts, columns and rows, at most
// fineM apart; where posts are narrow a ray may cross three columns from row to row.
func (s *sweep) steps() [2]int {
	aspect := math.Cos(s.rays.at[1]*math.Pi/180) * s.StepLonDeg / s.StepLatDeg
	fine := s.window.fine()
	return [2]int{fine * max(1, int(math.Round(aspect))), fine * max(1, int(math.Ceil(1/(3*aspect))))}
}

// side is one direction of a window: its posts, its cells, the post of the first one, and
// the steps from post to post in h and from cell to cell.
type side struct{ posts, cells, first, postStep, cellStep int }

// sides are the directions along the axis of a quadrant and across it.
func (w *window) sides(q quadrant) (along, across side) {
	cols := side{w.Cols, w.cells.Cols, w.firstCol, 1, 1}
	rows := side{w.Rows, w.cells.Rows, w.firstRow, w.stride, w.cells.Cols}
	if q.alongRows {
		return rows, cols
	}
	return cols, rows
}

// rowOf returns the cell at x = 0 of a line.
func (w *window) rowOf(q quadrant, line int) int {
	along, across := w.sides(q)
	if n := line - along.first; w.every == 1 && n >= 0 && n < along.cells {
		return n*along.cellStep - across.first*across.cellStep
	}
	return noCells
}

// acrossM2 is the square of the way between two posts beside each other across an
// axis, m², at a place along it; at the pole's latitude where it runs along columns.
func (f *bundle) acrossM2(q quadrant, along float64) float64 {
	m := f.latM * f.w.StepLatDeg
	if q.alongRows {
		lonM, _ := terrain.DegreeSizesM(f.w.NorthDeg - along*f.w.StepLatDeg)
		m = lonM * f.w.StepLonDeg
	}
	return m * m
}

// firstLine returns the first line of posts beyond the pole.
func (q quadrant) firstLine(start float64) float64 {
	if q.sign > 0 {
		return math.Floor(start) + 1
	}
	return math.Ceil(start) - 1
}

// breadth is a range of positions across the axis.
type breadth struct{ low, high float64 }

// cellsEnd returns the last line with cells in the direction of a quadrant.
func (w *window) cellsEnd(q quadrant) float64 {
	along, _ := w.sides(q)
	if q.sign < 0 {
		return float64(along.first)
	}
	return float64(along.first + (along.cells-1)*w.every)
}

// cellsAcross returns the breadth of the cells.
func (w *window) cellsAcross(q quadrant) breadth {
	_, across := w.sides(q)
	return breadth{float64(across.first), float64(across.first + (across.cells-1)*w.every)}
}

// away is how far from the pole a sample lies along the axis, in posts.
func (c *crossings) away(i int) float64 { return math.Abs(c.samples[i].along - c.start) }

// height interpolates between posts, bilinear, as the terrain does itself: at
// the position x across the axis; less than a post beside the window, where rays pass by the cells on its edge,
// that of the edge. NaN is unknown.
func (c *crossings) height(t *crossing, x float64) float64 {
	if edge := float64(c.width - 1); x > -1 && x < edge+1 {
		x = min(max(x, 0), edge)
	}
	j := int(x)
	u := x - float64(j)
	if u > 1-snap {
		j, u = j+1, 0
	} else if u < snap {
		u = 0
	}
	if t.line < 0 || t.line >= c.lines || x < 0 || j > c.width-1 || j == c.width-1 && u != 0 {
		return math.NaN()
	}
	p := t.line*c.along + j*c.across
	z := c.between(p, u)
	if t.part > 0 {
		if next := t.line + c.sign; next < 0 || next >= c.lines {
			return math.NaN()
		}
		z += (c.between(p+c.sign*c.along, u) - z) * t.part
	}
	return z
}

// snap is how near to a post, in posts, a position counts as on it.
const snap = 1e-6

func (c *crossings) between(p int, u float64) float64 {
	if u == 0 {
		return float64(c.h[p])
	}
	a, b := float64(c.h[p]), float64(c.h[p+c.across])
	return a + (b-a)*u
}
