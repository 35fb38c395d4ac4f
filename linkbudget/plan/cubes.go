package plan

import (
	"iter"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// cubes find what lies within a distance of a place, by its index: space is cut into cubes of
// twice that distance, so that eight of them hold all of it.
type cubes struct {
	reachM float64
	in     map[[3]int32][]int
}

func newCubes(reachM float64) *cubes { return &cubes{reachM, map[[3]int32][]int{}} }

// corner is the cube of a place, and its nearer neighbour along each axis.
type corner struct{ home, side [3]int32 }

func (c *cubes) of(at orb.Point) (of corner) {
	sideM := 2 * c.reachM
	for k, x := range terrain.Cartesian(at) {
		cube, inside := math.Floor(x/sideM), math.Mod(x, sideM)
		of.home[k], of.side[k] = int32(cube), int32(cube)-1
		if inside < 0 {
			inside += sideM
		}
		if inside >= c.reachM {
			of.side[k] += 2
		}
	}
	return of
}

func (c *cubes) add(i int, of corner) { c.in[of.home] = append(c.in[of.home], i) }

// around walks through all that may lie within the distance, and some that do not.
func (c *cubes) around(of corner) iter.Seq[int] {
	return func(yield func(int) bool) {
		for which := range 8 {
			cube := of.home
			for k := range cube {
				if which>>k&1 == 1 {
					cube[k] = of.side[k]
				}
			}
			for _, i := range c.in[cube] {
				if !yield(i) {
					return
				}
			}
		}
	}
}
