package terrain

import (
	"fmt"

	"github.com/paulmach/orb"
)

// Stack joins DEMs into one, the preferred one first: fine terrain over coarse,
// say. At each place the first that knows the height answers. Where none does,
// the place is Void if any of them says so, else Outside. The extent spans all,
// with the finest steps among them. A nil DEM is left out.
func Stack(dems ...DEM) DEM {
	var s stack
	for _, d := range dems {
		if d != nil {
			s = append(s, d)
		}
	}
	return s
}

type stack []DEM

func (s stack) Extent() Extent {
	extents := make([]Extent, len(s))
	for i, d := range s {
		extents[i] = d.Extent()
	}
	return unionExtent(extents)
}

// Heights implements [DEM]. It panics if the three slices differ in length.
func (s stack) Heights(at []orb.Point, heightM []float64, flag []Flag) error {
	mustMatch(at, heightM, flag)
	for i := range at {
		heightM[i], flag[i] = 0, Outside
	}
	// The first DEM writes to the result; the others are asked only about what
	// is still unknown, through these.
	var index []int
	var places []orb.Point
	var heights []float64
	var flags []Flag
	for k, d := range s {
		if k == 0 {
			if err := d.Heights(at, heightM, flag); err != nil {
				return fmt.Errorf("DEM 1 of %d: %w", len(s), err)
			}
			continue
		}
		index, places = index[:0], places[:0]
		for i, f := range flag {
			if !f.Known() {
				index, places = append(index, i), append(places, at[i])
			}
		}
		if len(index) == 0 {
			break
		}
		if heights == nil {
			heights, flags = make([]float64, len(index)), make([]Flag, len(index))
		}
		heights, flags = heights[:len(index)], flags[:len(index)]
		if err := d.Heights(places, heights, flags); err != nil {
			return fmt.Errorf("DEM %d of %d: %w", k+1, len(s), err)
		}
		for j, i := range index {
			if flags[j].Known() || flags[j] == Void {
				heightM[i], flag[i] = heights[j], flags[j]
			}
		}
	}
	for i, f := range flag {
		if !f.Known() {
			heightM[i] = 0
		}
	}
	return nil
}
