package sheet

import (
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/plan"
)

// What stands is on the map by its parts, a hole in the path of its part, and what lies beside the map is not.
func TestWhatStandsOnTheMap(t *testing.T) {
	f := newFrame(orb.Point{10, 50}, []orb.Point{{10.01, 50}})
	box := func(west, south, size float64) orb.Ring {
		return orb.Ring{{west, south}, {west + size, south}, {west + size, south + size}, {west, south + size}, {west, south}}
	}
	wood, topM := "wood", 8.0
	list := f.standing([]plan.Cover{
		{Stands: &wood, Parts: orb.MultiPolygon{{box(10, 50, 0.004), box(10.001, 50.001, 0.002)}, {box(10.006, 50, 0.001)},
			{box(12, 50, 1)}}},
		{TopM: &topM, Parts: orb.MultiPolygon{{box(9, 49, 2)}}}, // round the map
	})
	var moves []int
	for _, s := range list {
		n := 0
		for _, c := range s.Path {
			if c == 'M' {
				n++
			}
		}
		moves = append(moves, n)
	}
	if len(list) != 3 || moves[0] != 2 || moves[1] != 1 || list[2].Class != "suburban" {
		t.Errorf("%v", list)
	}
	m := siteMap{Stands: list}
	if key := m.StandKey(); len(key) != 2 || key[0].Class != "wood" || key[0].Colour == key[1].Colour {
		t.Errorf("key %v", key)
	}
}
