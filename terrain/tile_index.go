package terrain

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// tile is what is known about a source without reading it.
type tile struct {
	Lattice
	// core is the area of the posts less a margin, which no rounding leads out of.
	core area
	// undisputed tells that no earlier source reaches into the core.
	undisputed bool
	// seam tells that another lattice goes on one step beyond the last posts;
	// beside are the lattices that continue this one.
	seam   bool
	beside []continuation
	// above are the tiles whose southernmost row lies one step north of this one's
	// northernmost, with columns of their own.
	above []int
}

// coreMargin is the width, in steps, that the core lies inside the posts.
const coreMargin = 1e-3

// core returns the area of the posts less that margin.
func (l Lattice) core() area { return l.reach(-coreMargin) }

func newTile(l Lattice) tile {
	core := l.core()
	turn := 360 * math.Floor((l.WestDeg+180)/360)
	core.west, core.east = core.west-turn, core.east-turn
	return tile{Lattice: l, core: core}
}

// hasSay reports whether the tile may answer anywhere in an area.
func (t *tile) hasSay(a area) bool {
	steps := snapStep
	if t.seam {
		steps = 1
	}
	return t.reach(steps).meets(a)
}

// area is a rectangle in degrees. Empty if west > east or south > north.
type area struct{ west, east, south, north float64 }

func (a area) contains(p orb.Point) bool {
	return p[0] >= a.west && p[0] <= a.east && p[1] >= a.south && p[1] <= a.north
}

// meets reports whether two areas have a place in common, longitudes modulo 360.
func (a area) meets(b area) bool {
	if a.west > a.east || b.west > b.east || a.south > b.north || b.south > a.north ||
		a.south > a.north || b.south > b.north {
		return false
	}
	ahead := turnsRemoved(b.west - a.west)
	return ahead <= a.east-a.west || ahead+(b.east-b.west) >= 360
}

// turnsRemoved brings a difference of longitudes into 0 <= d < 360.
func turnsRemoved(deg float64) float64 {
	if deg >= 0 && deg < 360 {
		return deg
	}
	d := math.Mod(deg, 360)
	if d < 0 {
		d += 360
	}
	return d
}

// reach returns the area within steps of the outermost posts.
func (l Lattice) reach(steps float64) area {
	b := l.Extent().Bound
	return area{
		west: b.Min[0] - steps*l.StepLonDeg, east: b.Max[0] + steps*l.StepLonDeg,
		south: b.Min[1] - steps*l.StepLatDeg, north: b.Max[1] + steps*l.StepLatDeg,
	}
}

// position returns a place in steps from post (0,0), east and south positive. Of the longitudes a
// turn apart, it takes one inside the posts, else one less than a step west of them, else one east
// of them.
func (t *tile) position(p orb.Point) (x, y float64) {
	y = (t.NorthDeg - p[1]) / t.StepLatDeg
	last := float64(t.Cols-1) + snapStep
	x = (p[0] - t.WestDeg) / t.StepLonDeg
	if x >= -snapStep && x <= last {
		return x, y
	}
	d := turnsRemoved(p[0] - t.WestDeg)
	x = d / t.StepLonDeg
	if westwards := (d - 360) / t.StepLonDeg; x > last && westwards >= -1 {
		x = westwards
	}
	return x, y
}

// within reports whether a position lies less than steps beyond the posts.
func (t *tile) within(x, y, steps float64) bool {
	return x > -steps && y > -steps && x < float64(t.Cols-1)+steps && y < float64(t.Rows-1)+steps
}

// tileIndex finds the tiles around a place: the earth is cut into cells about as large as a tile,
// and each cell lists, in order, the tiles that reach into it or end less than a step from it.
type tileIndex struct {
	cellDeg float64
	columns int
	cells   map[int][]int32
	// wide lists, in order, the tiles that span too many cells to be listed in each.
	wide []int32
}

// widestCells is the number of cells above which a tile counts as wide.
const widestCells = 1024

func newTileIndex(tiles []tile) tileIndex {
	sizes := make([]float64, len(tiles))
	for i, t := range tiles {
		sizes[i] = max(float64(t.Cols)*t.StepLonDeg, float64(t.Rows)*t.StepLatDeg)
	}
	slices.Sort(sizes)
	columns := math.Floor(360 / min(max(sizes[len(sizes)/2], 1e-3), 10))
	x := tileIndex{cellDeg: 360 / columns, columns: int(columns), cells: map[int][]int32{}}
	for i := range tiles {
		// 2 steps: rounding must not lose a place just under 1 step away.
		if !x.eachCell(tiles[i].reach(2), func(cell int) {
			if list := x.cells[cell]; len(list) == 0 || list[len(list)-1] != int32(i) {
				x.cells[cell] = append(list, int32(i))
			}
		}) {
			x.wide = append(x.wide, int32(i))
		}
	}
	return x
}

// eachCell calls f for the cells of an area, some perhaps twice. It reports false
// without a call if there are too many.
func (x *tileIndex) eachCell(a area, f func(cell int)) bool {
	west := math.Floor(turnsRemoved(a.west+180) / x.cellDeg)
	east := math.Floor((turnsRemoved(a.west+180) + a.east - a.west) / x.cellDeg)
	south, north := math.Floor((a.south+90)/x.cellDeg), math.Floor((a.north+90)/x.cellDeg)
	if !((east-west+2)*(north-south+1) <= widestCells) {
		return false
	}
	for row := int(south); row <= int(north); row++ {
		for col := int(west); col <= int(east); col++ {
			f(row*x.columns + col%x.columns)
		}
	}
	return true
}

// cellOf returns the cell of a place. Rounding may put a place into the cell
// beside its own, where tiles less than 2 steps away are listed as well.
func (x *tileIndex) cellOf(p orb.Point) int {
	col := int(turnsRemoved(p[0]+180)/x.cellDeg) % x.columns
	return int(math.Floor((p[1]+90)/x.cellDeg))*x.columns + col
}

// next returns the first tile, from number from on, that may know the height at
// a place, -1 if there is none: inside its posts, or else on a seam beside them.
func (t *Tiles) next(p orb.Point, from int) (k int, inside bool) {
	if !finite(p[0]) || !(math.Abs(p[1]) <= 91) {
		return -1, false
	}
	k, inside = t.nextOf(t.index.cells[t.index.cellOf(p)], p, from)
	if wide, wideInside := t.nextOf(t.index.wide, p, from); wide >= 0 && (k < 0 || wide < k) {
		return wide, wideInside
	}
	return k, inside
}

// nextOf is next among the tiles of an ordered list.
func (t *Tiles) nextOf(list []int32, p orb.Point, from int) (k int, inside bool) {
	for _, i := range list {
		if int(i) < from {
			continue
		}
		tile := &t.tiles[i]
		x, y := tile.position(p)
		if tile.within(x, y, snapStep) {
			return int(i), true
		}
		if tile.seam && tile.within(x, y, 1) && !t.continued(tile, x, y) {
			return int(i), false
		}
	}
	return -1, false
}
