package terrain

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// A continuation is a lattice whose posts go on where those of another end.
type continuation struct {
	tile int
	// col and row are the position of its post (0,0) in the other lattice.
	col, row int
}

// alignedSteps is how far, in steps, posts may lie off the continuation of another lattice. A cell
// size written with eleven decimals is 5e-6 steps off after 1200 cells of 3". Taking a post 1e-4
// steps off its place moves a height by that part of the difference to the next.
const alignedSteps = 1e-4

// relate finds out how the tiles lie to each other.
func (t *Tiles) relate() {
	for k := range t.tiles {
		tile := &t.tiles[k]
		t.eachNear(k, func(other int) { t.besides(tile, k, other) })
		t.gaps = t.gaps || len(tile.above) > 0
	}
	for k := range t.tiles {
		tile := &t.tiles[k]
		tile.undisputed = true
		t.eachNear(k, func(other int) {
			if other < k && t.tiles[other].hasSay(tile.core) {
				tile.undisputed = false
			}
		})
	}
}

// eachNear calls f once, in order, for every tile that may reach within two steps
// of tile k, itself included.
func (t *Tiles) eachNear(k int, f func(other int)) {
	near := slices.Clone(t.index.wide)
	if !t.index.eachCell(t.tiles[k].reach(2), func(cell int) { near = append(near, t.index.cells[cell]...) }) {
		for i := range t.tiles {
			f(i)
		}
		return
	}
	slices.Sort(near)
	for _, i := range slices.Compact(near) {
		f(int(i))
	}
}

// besides notes whether the lattice of another tile continues that of tile k. A
// lattice once round the earth continues itself.
func (t *Tiles) besides(tile *tile, k, other int) {
	o := t.tiles[other].Lattice
	posts := float64(max(tile.Cols, tile.Rows, o.Cols, o.Rows))
	if !(math.Abs(o.StepLatDeg-tile.StepLatDeg)*posts <= alignedSteps*tile.StepLatDeg) {
		return
	}
	y := (tile.NorthDeg - o.NorthDeg) / tile.StepLatDeg
	row := math.Round(y)
	if !(math.Abs(y-row) <= alignedSteps) || row > float64(tile.Rows) || row+float64(o.Rows) < 0 {
		return
	}
	if !(math.Abs(o.StepLonDeg-tile.StepLonDeg)*posts <= alignedSteps*tile.StepLonDeg) {
		if int(row)+o.Rows == 0 {
			tile.above = append(tile.above, other)
		}
		return
	}
	for turn := -720.0; turn <= 720; turn += 360 {
		x := (o.WestDeg - tile.WestDeg + turn) / tile.StepLonDeg
		col := math.Round(x)
		if !(math.Abs(x-col) <= alignedSteps) || col > float64(tile.Cols) || col+float64(o.Cols) < 0 || k == other &&
			turn == 0 {
			continue
		}
		tile.beside = append(tile.beside, continuation{tile: other, col: int(col), row: int(row)})
		if int(col) == tile.Cols || int(col)+o.Cols == 0 || int(row) == tile.Rows || int(row)+o.Rows == 0 {
			tile.seam = true
		}
	}
}

// continued reports whether a position beside a tile lies inside the posts of a
// tile that continues it, which then answers by itself.
func (t *Tiles) continued(tile *tile, x, y float64) bool {
	for _, b := range tile.beside {
		if t.tiles[b.tile].within(x-float64(b.col), y-float64(b.row), snapStep) {
			return true
		}
	}
	return false
}

// acrossHeight interpolates at a place between two rows one step apart whose columns differ, as
// tiles have that narrow towards the pole: linearly between what the DEM answers on either row. So
// it is continuous with both. A place on no such gap stays as it is.
func (t *Tiles) acrossHeight(read *tileReader, at orb.Point, heightM *float64, flag *Flag) error {
	if !finite(at[0]) || !(math.Abs(at[1]) <= 91) {
		return nil
	}
	for _, list := range [2][]int32{t.index.cells[t.index.cellOf(at)], t.index.wide} {
		for _, k := range list {
			tile := &t.tiles[k]
			if x, y := tile.position(at); len(tile.above) == 0 || !(y < 0) || !tile.within(x, y, 1) {
				continue
			}
			for _, other := range tile.above {
				o := &t.tiles[other]
				south, north := tile.NorthDeg, o.Extent().Bound.Min[1]
				if x, _ := o.position(at); !o.within(x, 0, 1) || !(at[1] < north) {
					continue
				}
				var h [2]float64
				var f [2]Flag
				for i, lat := range [2]float64{south, north} {
					f[i] = Outside
					if err := t.fallBack(read, 0, orb.Point{at[0], lat}, &h[i], &f[i]); err != nil {
						return err
					}
				}
				v := (at[1] - south) / (north - south)
				if *flag = max(f[0], f[1]); *flag == Ground {
					*heightM = (1-v)*h[0] + v*h[1]
					return nil
				}
			}
		}
	}
	return nil
}

// seamHeight interpolates bilinearly at a place less than a step beyond the posts of tile k,
// between its posts and those of the tiles that continue it. A corner with weight that no tile has
// makes it Outside.
func (t *Tiles) seamHeight(read *tileReader, k int, at orb.Point, heightM *float64, flag *Flag) error {
	x, y := t.tiles[k].position(at)
	// Positions are above -1; one is added because postAndFraction wants no negative.
	col, u := postAndFraction(x + 1)
	row, v := postAndFraction(y + 1)
	sum, worst := 0.0, Ground
	for _, corner := range [4]struct {
		col, row int
		weight   float64
	}{
		{col - 1, row - 1, (1 - u) * (1 - v)}, {col, row - 1, u * (1 - v)},
		{col - 1, row, (1 - u) * v}, {col, row, u * v},
	} {
		if corner.weight == 0 {
			continue
		}
		h, f, err := t.post(read, k, corner.col, corner.row)
		if err != nil {
			return err
		}
		worst = max(worst, f) // Ground < Void < Outside
		sum += corner.weight * float64(h)
	}
	*heightM, *flag = sum, worst
	if worst != Ground {
		*heightM = 0
	}
	return nil
}

// post returns the height of a post in the lattice of tile k, which may lie in a
// tile that continues it.
func (t *Tiles) post(read *tileReader, k, col, row int) (float32, Flag, error) {
	flag := Outside
	look := func(tile, col, row int) (float32, error) {
		l := &t.tiles[tile].Lattice
		if col < 0 || row < 0 || col >= l.Cols || row >= l.Rows {
			return 0, nil
		}
		grid, err := read.tile(tile)
		if err != nil {
			return 0, err
		}
		h := grid.HeightM[row*l.Cols+col]
		if !finite(float64(h)) {
			flag = Void
			return 0, nil
		}
		flag = Ground
		return h, nil
	}
	h, err := look(k, col, row)
	for _, b := range t.tiles[k].beside {
		if err != nil || flag == Ground {
			break
		}
		h, err = look(b.tile, col-b.col, row-b.row)
	}
	return h, flag, err
}
