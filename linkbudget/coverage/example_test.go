package coverage_test

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// A wall of 300 m across a plain, a pole 1.5 km west of it: the far side is in
// its shadow.
func ExampleSweep() {
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 50, StepLonDeg: 0.001, StepLatDeg: 0.001, Cols: 81, Rows: 41},
		HeightM: make([]float32, 81*41),
	}
	for i := range g.HeightM {
		if i%81 == 50 {
			g.HeightM[i] = 300
		}
	}
	r, err := coverage.Sweep(context.Background(), linkbudget.DefaultStation("pole", 10), g.Post(30, 20), g,
		coverage.Options{
			RadiusM: 3000, Receiver: linkbudget.DefaultStation("walker", 2),
			Environment: linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 7, BWHz: 250e3, CR: 1}},
		})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range []orb.Point{g.Post(45, 20), g.Post(55, 20), g.Post(30, 45)} {
		if i, ok := r.Index(p); ok {
			fmt.Println(r.Cells[i].State(), r.Verdict(r.Cells[i]))
		}
	}
	// Output:
	// judged reaches
	// judged short
	// outside the terrain unknown
}

// Two poles on a plain: who carries where, and what each alone does.
func ExampleCombine() {
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 50, StepLonDeg: 0.001, StepLatDeg: 0.001, Cols: 161, Rows: 41},
		HeightM: make([]float32, 161*41),
	}
	area := g.Extent().Bound
	opt := coverage.Options{
		RadiusM: 9000, Area: &area, CellM: 300, Receiver: linkbudget.DefaultStation("walker", 1.5),
		Environment: linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 7, BWHz: 250e3, CR: 1}},
	}
	var rasters []*coverage.Raster
	for _, at := range []orb.Point{g.Post(20, 20), g.Post(140, 20)} {
		r, err := coverage.Sweep(context.Background(), linkbudget.DefaultStation("pole", 8), at, g, opt)
		if err != nil {
			fmt.Println(err)
			return
		}
		rasters = append(rasters, r)
	}
	both, err := coverage.Combine([]string{"west", "east"}, rasters...)
	if err != nil {
		fmt.Println(err)
		return
	}
	shares, byHeard := both.Shares()
	for _, s := range shares {
		fmt.Printf("%s: best over %.1f km², alone over %.1f\n", s.Name, s.Km2, s.AloneKm2)
	}
	fmt.Printf("nobody is heard over %.1f km², both over %.1f\n", byHeard[0], byHeard[2])
	// Output:
	// west: best over 3.9 km², alone over 3.9
	// east: best over 3.9 km², alone over 3.9
	// nobody is heard over 46.4 km², both over 0.0
}
