package terrain_test

import (
	"fmt"
	"log"

	"github.com/paulmach/orb"
	"github.com/polereach/polereach/terrain"
)

// Six posts half a degree apart, one of them unknown.
func ExampleNewProfile() {
	void := terrain.VoidHeight()
	dem := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 50.5, StepLonDeg: 0.5, StepLatDeg: 0.5, Cols: 3, Rows: 2},
		HeightM: []float32{
			300, 420, 310,
			280, 350, void,
		},
	}
	p, err := terrain.NewProfile(dem, orb.Point{10, 50.25}, orb.Point{11, 50.25}, terrain.ProfileOptions{SpacingM: 15e3})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f km towards %.1f°\n", p.LengthM()/1000, p.AzimuthDeg)
	for i, d := range p.DistM {
		if p.Flags[i].Known() {
			fmt.Printf("%5.1f km  %3.0f m\n", d/1000, p.HeightM[i])
		} else {
			fmt.Printf("%5.1f km  %v\n", d/1000, p.Flags[i])
		}
	}
	for _, g := range p.Unknown() {
		fmt.Printf("%v from %.1f to %.1f km\n", g.Flag, g.FromM/1000, g.ToM/1000)
	}
	// Output:
	// 71.3 km towards 89.6°
	//   0.0 km  290 m
	//  14.3 km  328 m
	//  28.5 km  366 m
	//  42.8 km  void
	//  57.1 km  void
	//  71.3 km  void
	// void from 42.8 to 71.3 km
}
