package coverage

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// Memory alone must not allow more posts than numbers of 32 bits tell apart.
func TestTooManyPostsAreRefused(t *testing.T) {
	e := terrain.Extent{Bound: orb.Bound{Min: orb.Point{0, 40}, Max: orb.Point{20, 60}}, StepLonDeg: 1.0 / 36000,
		StepLatDeg: 1.0 / 36000}
	_, err := newWindow(orb.Point{10, 50}, e, Options{RadiusM: 300e3, MemoryBytes: 1 << 50})
	if err == nil || !strings.Contains(err.Error(), "posts, allowed up to 2147483647") {
		t.Errorf("error: %v", err)
	}
	if _, err := newWindow(orb.Point{10, 50}, e, Options{RadiusM: 30e3, MemoryBytes: 1 << 50}); err != nil {
		t.Errorf("a tenth of the radius is refused: %v", err)
	}
}

// Cells may lie outside the terrain: few posts do not make few cells.
func TestTooManyCellsAreRefused(t *testing.T) {
	e := terrain.Extent{Bound: orb.Bound{Min: orb.Point{10, 50}, Max: orb.Point{10.1, 50.1}}, StepLonDeg: 1.0 / 36000,
		StepLatDeg: 1.0 / 36000}
	_, err := newWindow(orb.Point{10.05, 50.05}, e, Options{RadiusM: 100e3, MemoryBytes: 1 << 50})
	if err == nil || !strings.Contains(err.Error(), "cells, allowed up to 2147483647") {
		t.Errorf("error: %v", err)
	}
	if _, err := newWindow(orb.Point{10.05, 50.05}, e, Options{RadiusM: 100e3, CellM: 10,
		MemoryBytes: 1 << 50}); err != nil {
		t.Errorf("a tenth of the cells are refused: %v", err)
	}
}

// Ground used in place, a part of a larger grid, gives the same cells as a copy of it:
// where rays and the vectors of cells step from row to row they know how long one is.
func TestGroundInPlaceIsThatOfACopy(t *testing.T) {
	const cols, rows = 800, 700
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: 179.9, NorthDeg: 30, StepLonDeg: 1.0 / 3600, StepLatDeg: 1.0 / 3600, Cols: cols,
			Rows: rows},
		HeightM: make([]float32, cols*rows),
	}
	for i := range g.HeightM {
		x, y := float64(i%cols), float64(i/cols)
		g.HeightM[i] = float32(400 + 90*math.Sin(x/31)*math.Cos(y/43) + 20*math.Sin(x/7+y/9))
	}
	g.HeightM[250*cols+300] = terrain.VoidHeight()
	var cells [2][]Cell
	for way, dem := range []terrain.DEM{g, struct{ terrain.DEM }{g}} {
		s, err := newSweep(context.Background(), linkbudget.DefaultStation("pole", 10),
			orb.Point{179.9 + 410.3/3600 - 360, 30 - 355.6/3600}, dem, Options{
				RadiusM: 8.2e3, Receiver: linkbudget.DefaultStation("receiver", 2),
				Environment: linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}},
			})
		if err != nil {
			t.Fatal(err)
		}
		for number, c := range s.newWorker().crossings {
			if !c.lined || c.even == len(c.samples) {
				t.Fatalf("way %d, quadrant %d: no vectors", way, number)
			}
		}
		if inPlace := s.stride == cols; inPlace != (way == 0) || s.Cols >= cols || s.firstCol == 0 {
			t.Fatalf("way %d: %d columns, rows %d posts apart", way, s.Cols, s.stride)
		}
		if err := s.run(context.Background()); err != nil {
			t.Fatal(err)
		}
		cells[way] = s.raster.Cells
	}
	for i, c := range cells[0] {
		if c != cells[1][i] {
			t.Fatalf("cell %d is %v in place, %v of a copy", i, c, cells[1][i])
		}
	}
}
