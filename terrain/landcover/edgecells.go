package landcover

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// edgeCells are squares of longitude and latitude that know the edges in them, and what holds all of them
// where it has none there. They come in tiles, of which only those are kept where something is known.
type edgeCells struct {
	bounds // of all edges
	perDeg float64
	tiles  []tile  // by hash, as many as a power of two
	begin  []int32 // of a cell in the list; the next one begins where it ends
	list   []int32 // of edges
	over   []int32 // one more than the last shape that holds all of a cell, 0 for none
	edges  []edge
}

// edge is a side of a shape.
type edge struct {
	side
	shape int32
}

// tile is a square of cells.
type tile struct {
	key   uint64 // 0 for none
	edges uint64 // a bit for each cell in which some are
	first int32  // cell
}

const (
	tileBits  = 3
	tileCells = 1 << (2 * tileBits)
)

// col and row are those of a cell: never negative, also where a longitude is beyond 180.
func (c *edgeCells) col(x float64) int { return int((x + 720) * c.perDeg) }
func (c *edgeCells) row(y float64) int { return int((y + 91) * c.perDeg) }

// tileOf is the key of the tile of a cell.
func tileOf(col, row int) uint64 { return uint64(row>>tileBits)<<32 | uint64(col>>tileBits) + 1 }

// find is a tile, or the empty place for it.
func (c *edgeCells) find(key uint64) *tile {
	last := len(c.tiles) - 1
	for i := int(key*0x9E3779B97F4A7C15>>32) & last; ; i = (i + 1) & last {
		if t := &c.tiles[i]; t.key == key || t.key == 0 {
			return t
		}
	}
}

// walk goes from cell to cell.
type walk struct {
	*edgeCells
	key      uint64 // of the tile it is in
	first    int    // cell of it, or -1
	col, row int    // of the last place
}

// from begins at a place.
func (w *walk) from(at orb.Point) { w.col, w.row = w.edgeCells.col(at[0]), w.edgeCells.row(at[1]) }

func (c *edgeCells) walk() walk { return walk{edgeCells: c, first: -1} }

// cell is the index of a cell, or -1 where nothing is known around it.
func (w *walk) cell(col, row int) int {
	if key := tileOf(col, row); key != w.key {
		w.key, w.first = key, -1
		if t := w.find(key); t.key != 0 {
			w.first = int(t.first)
		}
	}
	if w.first < 0 {
		return -1
	}
	const in = 1<<tileBits - 1
	return w.first + (row&in)<<tileBits + col&in
}

// empty reports whether no edge meets the cells around some places, where these are not many.
func (c *edgeCells) empty(b *bounds) bool {
	const in, eight, many = 1<<tileBits - 1, 0x0101010101010101, 64
	col, row, toCol, toRow := c.col(b.west), c.row(b.south), c.col(b.east), c.row(b.north)
	if toCol-col > many || toRow-row > many {
		return false
	}
	for r := row; r <= toRow; r = r | in + 1 {
		rows := ^uint64(0) << (8 * (r & in))
		if last := toRow - r&^in; last < in {
			rows &= ^uint64(0) >> (8 * (in - last))
		}
		for k := col; k <= toCol; k = k | in + 1 {
			cols := uint8(0xff) << (k & in)
			if last := toCol - k&^in; last < in {
				cols &= 0xff >> (in - last)
			}
			if c.find(tileOf(k, r)).edges&rows&(eight*uint64(cols)) != 0 {
				return false
			}
		}
	}
	return true
}

// each calls visit with the cells that a side meets, near the bounds of all edges.
func (c *edgeCells) each(s *side, visit func(col, row int)) {
	const rounding = 1e-6 // of a cell
	beside := rounding / c.perDeg
	x0, y0, x1, y1 := s.x0, s.y0, s.x1, s.y1
	if y0 > y1 {
		x0, y0, x1, y1 = x1, y1, x0, y0
	}
	from, to := c.row(y0-beside), c.row(y1+beside)
	flat := from == to || y0 == y1
	for row := max(from, c.row(c.south)-1); row <= min(to, c.row(c.north)+1); row++ {
		west, east := x0, x1
		if !flat {
			on := func(row int) float64 {
				u := (float64(row)/c.perDeg - 91 - y0) / (y1 - y0)
				return x0 + min(max(u, 0), 1)*(x1-x0)
			}
			west, east = on(row), on(row+1)
		}
		last := min(c.col(max(west, east)+beside), c.col(c.east)+1)
		for col := max(c.col(min(west, east)-beside), c.col(c.west)-1); col <= last; col++ {
			visit(col, row)
		}
	}
}

// build makes cells of about the size of the edges, and no more than a few for each of them.
func (c *edgeCells) build(shapes []shape) {
	lengthDeg, areaDeg, n := 0.0, 0.0, 0
	c.bounds = nowhere
	for i := range shapes {
		s := &shapes[i]
		c.add(s.west, s.south)
		c.add(s.east, s.north)
		areaDeg += (s.east - s.west) * (s.north - s.south)
		n += len(s.edges)
		for k := range s.edges {
			lengthDeg += math.Abs(s.edges[k].x1-s.edges[k].x0) + math.Abs(s.edges[k].y1-s.edges[k].y0)
		}
	}
	const (
		timesEdge = 4
		leastDeg  = 1e-3
		perEdge   = 4
	)
	c.perDeg = 1 / max(timesEdge*lengthDeg/float64(max(n, 1)), math.Sqrt(areaDeg/float64(perEdge*max(n, 1))), leastDeg)
	c.edges = make([]edge, 0, n)
	var found []inCell
	var own []uint64
	for i := range shapes {
		s := &shapes[i]
		own = own[:0]
		for k := range s.edges {
			at := int32(len(c.edges))
			c.edges = append(c.edges, edge{s.edges[k], int32(i)})
			c.each(&s.edges[k], func(col, row int) {
				own = append(own, uint64(row)<<32|uint64(col))
				found = append(found, inCell{int32(col), int32(row), at, -1})
			})
		}
		slices.Sort(own)
		for k := 1; k < len(own); k++ {
			from, to, row := own[k-1]+1, own[k], own[k]>>32
			if from >= to || from>>32 != row {
				continue
			}
			if s.holds((float64(uint32(from))+0.5)/c.perDeg-720, (float64(row)+0.5)/c.perDeg-91) {
				for ; from < to; from++ {
					found = append(found, inCell{int32(uint32(from)), int32(row), -1, int32(i)})
				}
			}
		}
	}
	c.fill(found)
}

// inCell is an edge that meets a cell, or a shape that holds all of it, the other -1.
type inCell struct{ col, row, edge, shape int32 }

// fill takes in what was found, by shape.
func (c *edgeCells) fill(found []inCell) {
	c.tiles = make([]tile, 1)
	known := 0
	for _, f := range found {
		key := tileOf(int(f.col), int(f.row))
		t := c.find(key)
		if t.key != 0 {
			continue
		}
		*t = tile{key: key, first: int32(known * tileCells)}
		if known++; 2*known > len(c.tiles) {
			was := c.tiles
			c.tiles = make([]tile, 2*len(was))
			for _, t := range was {
				if t.key != 0 {
					*c.find(t.key) = t
				}
			}
		}
	}
	c.begin, c.over, c.list = make([]int32, known*tileCells+1), make([]int32, known*tileCells), make([]int32, len(found))
	w := c.walk()
	for _, f := range found {
		if cell := w.cell(int(f.col), int(f.row)); f.edge < 0 {
			c.over[cell] = f.shape + 1
		} else {
			c.begin[cell]++
			c.find(w.key).edges |= 1 << (cell % tileCells)
		}
	}
	total := int32(0)
	for i, n := range c.begin {
		total += n
		c.begin[i] = total
	}
	for _, f := range slices.Backward(found) {
		if f.edge >= 0 {
			cell := w.cell(int(f.col), int(f.row))
			c.begin[cell]--
			c.list[c.begin[cell]] = f.edge
		}
	}
	c.list = c.list[:total]
}

// crossings appends where a line from the last place crosses edges; where two lie on each other, once or twice.
func (w *walk) crossings(line *side, at float64, out []float64) []float64 {
	col, row := w.col, w.row
	toCol, toRow := w.edgeCells.col(line.x1), w.edgeCells.row(line.y1)
	w.col, w.row = toCol, toRow
	cols, rows, first := toCol-col, toRow-row, len(out)
	if cols == 0 && rows == 0 {
		return w.inCell(col, row, line, at, out)
	} else if cols*cols > 1 || rows*rows > 1 {
		w.each(line, func(col, row int) { out = w.inCell(col, row, line, at, out) })
	} else {
		out = w.inCell(col, row, line, at, out)
		if cols != 0 && rows != 0 {
			out = w.inCell(col, toRow, line, at, w.inCell(toCol, row, line, at, out))
		}
		out = w.inCell(toCol, toRow, line, at, out)
	}
	if len(out) > first+1 { // an edge in two cells
		slices.Sort(out[first:])
		out = out[:first+len(slices.Compact(out[first:]))]
	}
	return out
}

// inCell appends where a line crosses the edges in a cell.
func (w *walk) inCell(col, row int, line *side, at float64, out []float64) []float64 {
	if cell := w.cell(col, row); cell >= 0 {
		for _, k := range w.list[w.begin[cell]:w.begin[cell+1]] {
			if u := w.edges[k].crossed(line); u >= 0 {
				out = append(out, at+u)
			}
		}
	}
	return out
}

// crossed is where a line crosses an edge, 0 to 1 of the line, or -1.
func (e *edge) crossed(line *side) float64 {
	const rounding = 1e-9
	dx, dy := line.x1-line.x0, line.y1-line.y0
	left0 := dx*(e.y0-line.y0) - dy*(e.x0-line.x0)
	left1 := dx*(e.y1-line.y0) - dy*(e.x1-line.x0)
	if (left0 > 0) == (left1 > 0) {
		return -1
	}
	if b := (bounds{min(e.x0, e.x1), min(e.y0, e.y1), max(e.x0, e.x1), max(e.y0, e.y1)}); b.beside(line) {
		return -1
	}
	part := left0 / (left0 - left1)
	x, y := e.x0+part*(e.x1-e.x0)-line.x0, e.y0+part*(e.y1-e.y0)-line.y0
	if u := (x*dx + y*dy) / (dx*dx + dy*dy); u >= -rounding && u <= 1+rounding {
		return min(max(u, 0), 1)
	}
	return -1
}
