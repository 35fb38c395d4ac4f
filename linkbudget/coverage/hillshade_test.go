package coverage_test

import (
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// tilted is a plane that rises so much to the east and to the south, m per m, not known north
// of latitude 0.05.
type tilted struct{ east, south float64 }

func (tilted) Extent() terrain.Extent {
	return terrain.Extent{Bound: orb.Bound{Max: orb.Point{0.1, 0.1}}, StepLonDeg: 0.01, StepLatDeg: 0.01}
}

func (p tilted) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	const degreeM = 6371008.8 * math.Pi / 180
	for i, place := range at {
		heightM[i], flag[i] = (p.east*place.Lon()-p.south*place.Lat())*degreeM, terrain.Ground
		if place.Lat() > 0.05 {
			heightM[i], flag[i] = 0, terrain.Void
		}
	}
	return nil
}

// A plane throws back the cosine between its normal and the light: from the north-west, 45
// degrees up, the plane twice as steep, times 1.2 and at most 1.
func TestHillshadeOfPlanes(t *testing.T) {
	lattice := terrain.Lattice{NorthDeg: 0.1, StepLonDeg: 0.01, StepLatDeg: 0.01, Cols: 11, Rows: 11}
	light := [3]float64{-0.5, 0.5, math.Sqrt2 / 2} // towards the sun: east, north, up
	for _, p := range []tilted{{0, 0}, {0.1, 0.1}, {-0.2, -0.1}, {0.3, -0.3}, {-1, -1}} {
		got, err := coverage.Hillshade(p, lattice)
		if err != nil || len(got) != 121 {
			t.Fatal(len(got), err)
		}
		normal := [3]float64{-2 * p.east, 2 * p.south, 1}
		dot, length := 0.0, 0.0
		for k := range normal {
			dot, length = dot+normal[k]*light[k], length+normal[k]*normal[k]
		}
		want := min(1.2*max(dot/math.Sqrt(length), 0), 1)
		for i, v := range got {
			row, col := i/11, i%11
			switch {
			case row < 5: // not known
				if v == v {
					t.Errorf("%+v: light %g where the ground is not known", p, v)
				}
			case row > 5 && row < 10 && col > 0 && col < 10 && math.Abs(v-want) > 0.01: // a degree is not as long everywhere
				t.Errorf("%+v: light %.3f at row %d, column %d, want %.3f", p, v, row, col, want)
			}
		}
	}
	for _, err := range []error{
		func() error { _, err := coverage.Hillshade(nil, lattice); return err }(),
		func() error { _, err := coverage.Hillshade(tilted{}, terrain.Lattice{}); return err }(),
	} {
		if !errors.Is(err, fault.ErrInput) {
			t.Errorf("found %v", err)
		}
	}
}
