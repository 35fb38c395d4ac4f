package terrain

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// Grid holds the heights of a Lattice in memory. A *Grid is a DEM, safe for
// concurrent use as long as nobody writes to it.
type Grid struct {
	Lattice
	// HeightM holds Cols × Rows heights, metres above the vertical datum of the
	// source, row by row from the north, each row from the west. An unknown
	// post is VoidHeight.
	HeightM []float32
}

var _ DEM = (*Grid)(nil)

// VoidHeight returns the mark of a post without a height, a NaN: a number that
// cannot be mistaken for ground and that poisons whatever is computed from it.
func VoidHeight() float32 { return float32(math.NaN()) }

// IsVoid reports whether h marks a post without a height.
func IsVoid(h float32) bool { return h != h }

// snapStep is how far, in steps, a place may lie off a post or off the edge and still count as on
// it: 9 µm on a 3" lattice. A header that gives its cell size with nine significant digits puts its
// far posts 5e-8 steps off; the height moves by at most that part of the difference between two
// neighbours.
const snapStep = 1e-7

// Heights interpolates bilinearly between the four posts around each place. A place on a post, or
// on the line between two, needs those posts alone: a void beside it does not matter. A void post
// that has weight makes the place Void. A place beyond the outermost posts is Outside. Longitudes
// are taken modulo 360°, so a grid that ends at 180° E answers 180° W. Heights panics if the three
// slices differ in length; the error is that of a Grid whose fields contradict each other.
func (g *Grid) Heights(at []orb.Point, heightM []float64, flag []Flag) error {
	mustMatch(at, heightM, flag)
	if err := g.Check(); err != nil {
		return err
	}
	perLon, perLat := 1/g.StepLonDeg, 1/g.StepLatDeg
	heightM, flag = heightM[:len(at)], flag[:len(at)]
	west, north, cols, h := g.WestDeg, g.NorthDeg, g.Cols, g.HeightM
	lastCol, lastRow := uint(g.Cols-1), uint(g.Rows-1)
	for k := range at {
		x := (at[k][0] - west) * perLon
		y := (north - at[k][1]) * perLat
		// Nearly every place lies truly between four posts, which then are all
		// there. What does not, NaN and infinity too, fails one of the tests.
		col, row := int(x), int(y)
		u, v := x-float64(col), y-float64(row)
		const half = 0.5 - snapStep
		if uint(col) < lastCol && uint(row) < lastRow && math.Abs(u-0.5) < half && math.Abs(v-0.5) < half {
			nw := row*cols + col
			n, s := h[nw:nw+2:nw+2], h[nw+cols:nw+cols+2:nw+cols+2]
			z := (1-v)*((1-u)*float64(n[0])+u*float64(n[1])) + v*((1-u)*float64(s[0])+u*float64(s[1]))
			if finite(z) {
				heightM[k], flag[k] = z, Ground
				continue
			}
		} else if col, row = int(x+0.5), int(y+0.5); uint(col) <= lastCol && uint(row) <= lastRow &&
			math.Abs(x-float64(col)) < snapStep && math.Abs(y-float64(row)) < snapStep {
			// On a post, as all places of a raster at the posts are.
			if z := float64(h[row*cols+col]); finite(z) {
				heightM[k], flag[k] = z, Ground
				continue
			}
		}
		heightM[k], flag[k] = g.height(at[k])
	}
	return nil
}

// height is Heights for any one place, on posts and edges and outside too.
func (g *Grid) height(p orb.Point) (float64, Flag) {
	x, y := (p[0]-g.WestDeg)*(1/g.StepLonDeg), (g.NorthDeg-p[1])*(1/g.StepLatDeg)
	lastCol, lastRow := float64(g.Cols-1)+snapStep, float64(g.Rows-1)+snapStep
	// Negated comparisons send NaN and infinity outside too.
	if !(x >= -snapStep && x <= lastCol) {
		x = g.columnRoundEarth(p[0])
	}
	if !(x >= -snapStep && x <= lastCol && y >= -snapStep && y <= lastRow) {
		return 0, Outside
	}
	col, u := postAndFraction(x)
	row, v := postAndFraction(y)
	// The neighbour in a direction without weight is the post itself, so that it
	// can be neither beyond the edge nor a void.
	east, south := 0, 0
	if u > 0 {
		east = 1
	}
	if v > 0 {
		south = g.Cols
	}
	nw := row*g.Cols + col
	sw := nw + south
	upper := (1-u)*float64(g.HeightM[nw]) + u*float64(g.HeightM[nw+east])
	lower := (1-u)*float64(g.HeightM[sw]) + u*float64(g.HeightM[sw+east])
	z := (1-v)*upper + v*lower
	if !finite(z) {
		return 0, Void
	}
	return z, Ground
}

// postAndFraction splits a position in steps into the post at or before it and
// the way to the next one, 0 <= fraction < 1, snapped to a post within snapStep.
func postAndFraction(x float64) (post int, fraction float64) {
	post = int(x)
	fraction = x - float64(post)
	if fraction < snapStep {
		return post, 0
	}
	if fraction > 1-snapStep {
		return post + 1, 0
	}
	return post, fraction
}

// columnRoundEarth returns the column of a longitude counted eastwards from the
// west edge, full turns removed.
func (g *Grid) columnRoundEarth(lonDeg float64) float64 {
	d := turnsRemoved(lonDeg - g.WestDeg) // exact; NaN for an infinite longitude
	if beyond := (d - 360) / g.StepLonDeg; beyond >= -snapStep {
		return beyond // a hair west of the west edge, not a full turn east of it
	}
	return d / g.StepLonDeg
}

// Check returns every fault of the grid: those of its lattice, and a number of
// heights that differs from Cols × Rows.
func (g *Grid) Check() error {
	if err := g.Lattice.Check(); err != nil {
		return err
	}
	if len(g.HeightM) != g.Cols*g.Rows {
		return fault.Input("terrain: grid of %d × %d posts holds %d heights, must be %d",
			g.Cols, g.Rows, len(g.HeightM), g.Cols*g.Rows)
	}
	return nil
}
