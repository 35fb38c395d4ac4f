package terrain

import (
	"errors"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Difference is between two sources that hold the same ground and tell of it differently.
type Difference struct {
	Names   [2]string // as in Source.Name, the one that answers first in front
	MedianM float64   // of the absolute differences, metres
	// At is where one of them is that large, degrees; HeightM is what the two say there.
	At      orb.Point
	HeightM [2]float64
}

// differM is the median difference, metres, from which two sources cannot be of the same
// ground: models of the same ground stay within tens of metres of each other also in
// mountains (Mukul et al., Sci. Rep. 7:41672 (2017): 9 out of 10 posts of SRTM within 16 m).
const differM = 100

// Compare tells of ground that two DEMs share, edges too, and do not agree on within 100 m
// in the median: it looks at 25 places spread over what both hold. Where fewer than three of
// them are known it says nothing. The error is that of a DEM that cannot be read.
func Compare(a, b DEM, names [2]string) (d Difference, differ bool, err error) {
	p, q := a.Extent().Bound, b.Extent().Bound
	west, east := max(p.Min[0], q.Min[0]), min(p.Max[0], q.Max[0])
	south, north := max(p.Min[1], q.Min[1]), min(p.Max[1], q.Max[1])
	if !(west <= east && south <= north) {
		return d, false, nil
	}
	var at [25]orb.Point
	for i := range at {
		at[i] = orb.Point{west + (east-west)*float64(i%5)/4, south + (north-south)*float64(i/5)/4}
	}
	var one, other [len(at)]float64
	var flagA, flagB [len(at)]Flag
	if err := errors.Join(HeightsOf(a, at[:], one[:], flagA[:]), HeightsOf(b, at[:], other[:], flagB[:])); err != nil {
		return d, false, err
	}
	var found []Difference
	for i := range at {
		if flagA[i] == Ground && flagB[i] == Ground {
			found = append(found, Difference{names, math.Abs(one[i] - other[i]), at[i], [2]float64{one[i], other[i]}})
		}
	}
	if len(found) < 3 {
		return d, false, nil
	}
	slices.SortFunc(found, func(a, b Difference) int {
		if a.MedianM < b.MedianM {
			return -1
		}
		return 1
	})
	middle := found[len(found)/2]
	return middle, middle.MedianM > differM, nil
}

// differing compares tile k, just read, with those that are kept.
func (c *tileCache) differing(k int, grid *Grid) {
	type kept struct {
		k    int
		grid *Grid
	}
	var others []kept
	c.mu.Lock()
	for e := c.lru.Front(); e != nil; e = e.Next() {
		if i := e.Value.(int); i != k {
			others = append(others, kept{i, c.slots[i].grid})
		}
	}
	c.mu.Unlock()
	for _, o := range others {
		a, b := kept{k, grid}, o
		if b.k < a.k {
			a, b = b, a
		}
		// Grids in memory have no error of reading.
		if d, differ, _ := Compare(a.grid, b.grid, [2]string{c.sources[a.k].Name, c.sources[b.k].Name}); differ {
			c.differ(d)
		}
	}
}
