package terrain_test

import (
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// eastOf is a wood east of a longitude.
type eastOf float64

func (e eastOf) Standing(at []orb.Point, out []terrain.Standing) error {
	for i, p := range at {
		out[i] = terrain.Standing{Class: terrain.CoverOpen}
		if p[0] > float64(e) {
			out[i].Class = terrain.CoverWood
		}
	}
	return nil
}

// A profile is as it was when others have been sampled.
func TestProfilesHaveTheirOwnStanding(t *testing.T) {
	grid := &terrain.Grid{Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 50, StepLonDeg: 0.001, StepLatDeg: 0.001,
		Cols: 101,
		Rows: 11}, HeightM: make([]float32, 101*11)}
	a, b := orb.Point{10.0005, 49.995}, orb.Point{10.0995, 49.995}
	p, err := terrain.NewProfile(terrain.WithCover(grid, eastOf(10.05)), a, b, terrain.ProfileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	was := slices.Clone(p.Standing)
	for range 100 {
		if _, err := terrain.NewProfile(terrain.WithCover(grid, eastOf(10.02)), a, b, terrain.ProfileOptions{}); err != nil {
			t.Fatal(err)
		}
	}
	if !slices.Equal(p.Standing, was) {
		t.Errorf("the profile changed to %v, was %v", p.Standing, was)
	}
}
