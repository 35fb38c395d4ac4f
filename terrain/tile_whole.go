package terrain

import "math"

// Whole returns the tile that by itself answers for every post of a lattice, and
// the column and row of the lattice's first post in it: a caller may then take
// heights in place, where asking for them one by one would take far longer. The
// tile is read if need be. It is nil where there is none: the lattice reaches
// beyond the tile, its posts are none of the tile's (to within 1e-4 of a step), or
// some other source has a say. The error is that of a tile that cannot be read.
func (t *Tiles) Whole(l Lattice) (g *Grid, col, row int, err error) {
	whole, found := l.reach(0), -1
	for k := range t.tiles {
		steps := snapStep
		if t.tiles[k].seam {
			steps = 1
		}
		if !t.tiles[k].reach(steps).meets(whole) {
			continue
		}
		if found >= 0 {
			return nil, 0, 0, nil
		}
		found = k
	}
	if found < 0 {
		return nil, 0, 0, nil
	}
	tile := &t.tiles[found]
	west, north := tile.position(l.Post(0, 0))
	east, south := tile.position(l.Post(l.Cols-1, l.Rows-1))
	col, row = int(math.Round(west)), int(math.Round(north))
	for _, off := range []float64{
		west - float64(col), north - float64(row), east - float64(col+l.Cols-1), south - float64(row+l.Rows-1),
	} {
		if !(math.Abs(off) <= alignedSteps) {
			return nil, 0, 0, nil
		}
	}
	if col < 0 || row < 0 || col+l.Cols > tile.Cols || row+l.Rows > tile.Rows {
		return nil, 0, 0, nil
	}
	read := tileReader{cache: t.cache}
	g, err = read.tile(found)
	return g, col, row, err
}
