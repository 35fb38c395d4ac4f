package siting_test

import (
	"context"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain"
)

// A ridge between two valleys: only its top sees both neighbours.
func ExampleSearch() {
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 50, StepLonDeg: 0.001, StepLatDeg: 0.001, Cols: 101, Rows: 41},
		HeightM: make([]float32, 101*41),
	}
	for i := range g.HeightM {
		g.HeightM[i] = float32(400 * math.Exp(-math.Pow(float64(i%101-50)/8, 2)))
	}
	spots, err := siting.Search(context.Background(), g, siting.Options{
		Neighbours: []siting.Neighbour{
			{Station: linkbudget.DefaultStation("west", 5), At: orb.Point{10.01, 49.98}, Must: true},
			{Station: linkbudget.DefaultStation("east", 5), At: orb.Point{10.09, 49.98}, Must: true},
		},
		Candidate:   linkbudget.DefaultStation("new", 4),
		Areas:       orb.MultiPolygon{{{{10.03, 49.97}, {10.07, 49.97}, {10.07, 49.99}, {10.03, 49.99}, {10.03, 49.97}}}},
		Environment: linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 7, BWHz: 250e3, CR: 1}},
		AtLeast:     2, Top: 1,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	s := spots.Spots[0]
	fmt.Printf("%.2f east, ground %.0f m: %s\n", s.At[0], s.GroundM, s.Reasons[0])
	// Output: 10.05 east, ground 400 m: does not serve with the 4 m asked for: a mast of 5.5 m reaches 2 of 2 neighbours, the weakest of the paths wanted with 93 %
}
