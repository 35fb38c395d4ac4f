package coverage

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Memory alone must not allow more posts than numbers of 32 bits tell apart.
func TestTooManyPostsAreRefused(t *testing.T) {
	e := terrain.Extent{Bound: orb.Bound{Min: orb.Point{0, 40}, Max: orb.Point{20, 60}}, StepLonDeg: 1.0 / 36000, StepLatDeg: 1.0 / 36000}
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
	e := terrain.Extent{Bound: orb.Bound{Min: orb.Point{10, 50}, Max: orb.Point{10.1, 50.1}}, StepLonDeg: 1.0 / 36000, StepLatDeg: 1.0 / 36000}
	_, err := newWindow(orb.Point{10.05, 50.05}, e, Options{RadiusM: 100e3, MemoryBytes: 1 << 50})
	if err == nil || !strings.Contains(err.Error(), "cells, allowed up to 2147483647") {
		t.Errorf("error: %v", err)
	}
	if _, err := newWindow(orb.Point{10.05, 50.05}, e, Options{RadiusM: 100e3, CellM: 10, MemoryBytes: 1 << 50}); err != nil {
		t.Errorf("a tenth of the cells are refused: %v", err)
	}
}
