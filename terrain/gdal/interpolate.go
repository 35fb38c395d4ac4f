//go:build gdal

package gdal

import "github.com/polereach/polereach/terrain"

// held is a block a reader holds on to, placed in the frame of its group.
type held struct {
	tile       int // number in the group
	col, row   int // of its first post in the frame, for this reader's turn
	cols, rows int
	heightM    []float32
}

// reader interpolates for one call of Heights and holds the four blocks used
// last: a cell at a corner of blocks needs as many.
type reader struct {
	g     *group
	held  [4]held
	last  int // index in held of the one used last
	count int // of held that are filled
}

// height interpolates bilinearly, by the arithmetic of terrain.Grid: a post
// without weight is not looked at.
func (rd *reader) height(col, row int, u, v float64) (float64, terrain.Flag, error) {
	if rd.g.turn > 0 {
		col = mod(col, rd.g.turn)
	}
	east, south := 0, 0
	if u > 0 {
		east = 1
	}
	if v > 0 {
		south = 1
	}
	if rd.count > 0 {
		// Mostly the whole cell lies in the block used last.
		b := &rd.held[rd.last]
		c, r := col-b.col, row-b.row
		if c >= 0 && r >= 0 && c+east < b.cols && r+south < b.rows && rd.g.tiles[b.tile].first {
			nw := r*b.cols + c
			sw := nw + south*b.cols
			z := bilinear(b.heightM[nw], b.heightM[nw+east], b.heightM[sw], b.heightM[sw+east], u, v)
			if z == z {
				return z, terrain.Ground, nil
			}
		}
	}
	// Post by post, from whichever raster knows it.
	var h [4]float32
	worst := terrain.Ground
	for k := range h {
		z, f, err := rd.post(col+k&1*east, row+k>>1*south)
		if err != nil || f == terrain.Outside {
			return 0, terrain.Outside, err
		}
		h[k], worst = z, max(worst, f) // Ground < Void
	}
	if worst != terrain.Ground {
		return 0, worst, nil
	}
	return bilinear(h[0], h[1], h[2], h[3], u, v), worst, nil
}

// bilinear is the formula of terrain.Grid, term by term.
func bilinear(nw, ne, sw, se float32, u, v float64) float64 {
	upper := (1-u)*float64(nw) + u*float64(ne)
	lower := (1-u)*float64(sw) + u*float64(se)
	return (1-v)*upper + v*lower
}

// post returns the height of one post: from the first raster that knows it.
func (rd *reader) post(col, row int) (float32, terrain.Flag, error) {
	g := rd.g
	if g.turn > 0 {
		col = mod(col, g.turn)
	}
	flag := terrain.Outside
	for _, i := range g.index[[2]int{floorDiv(col, g.bucket[0]), floorDiv(row, g.bucket[1])}] {
		t := &g.tiles[i]
		c, r := col-t.col, row-t.row
		if c < 0 && g.turn > 0 {
			c += g.turn
		}
		if c < 0 || r < 0 || c >= t.r.info.Cols || r >= t.r.info.Rows {
			continue
		}
		b, err := rd.block(i, c, r)
		if err != nil {
			return 0, terrain.Outside, err
		}
		if h := b.heightM[(r%t.r.blockRows)*b.cols+c%t.r.blockCols]; h == h {
			return h, terrain.Ground, nil
		}
		flag = terrain.Void
	}
	return 0, flag, nil
}

// block returns the block that holds a post of a tile, counted from its own
// first post.
func (rd *reader) block(i, col, row int) (*held, error) {
	t := &rd.g.tiles[i]
	bc, br := col/t.r.blockCols, row/t.r.blockRows
	c, r := t.col+bc*t.r.blockCols, t.row+br*t.r.blockRows
	if rd.g.turn > 0 {
		c = mod(c, rd.g.turn)
	}
	for k := range rd.count {
		if b := &rd.held[k]; b.tile == i && b.col == c && b.row == r {
			rd.last = k
			return b, nil
		}
	}
	heightM, err := t.r.block(bc, br)
	if err != nil {
		return nil, err
	}
	cols, rows := t.r.blockSize(bc, br)
	k := rd.count
	if k == len(rd.held) {
		k = (rd.last + 1) % len(rd.held)
	} else {
		rd.count++
	}
	rd.held[k] = held{tile: i, col: c, row: r, cols: cols, rows: rows, heightM: heightM}
	rd.last = k
	return &rd.held[k], nil
}
