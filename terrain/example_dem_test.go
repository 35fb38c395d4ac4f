package terrain_test

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// cone is terrain of one's own: a hill of 500 m at 10.1 east, 50 north, that falls by one
// metre in twenty down to the plain. It keeps nothing, so any number of goroutines may ask.
type cone struct{}

func (cone) Extent() terrain.Extent {
	return terrain.Extent{
		Bound:      orb.Bound{Min: orb.Point{9.5, 49.5}, Max: orb.Point{10.5, 50.5}},
		StepLonDeg: 0.001, StepLatDeg: 0.001, // how fine it is worth asking
	}
}

func (c cone) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	for i, p := range at {
		heightM[i], flag[i] = 0, terrain.Outside
		if c.Extent().Bound.Contains(p) {
			awayM := terrain.Inverse(orb.Point{10.1, 50}, p).DistM
			heightM[i], flag[i] = math.Max(500-awayM/20, 100), terrain.Ground
		}
	}
	return nil
}

// Whatever has the two methods of a DEM is terrain: here a formula.
func ExampleDEM() {
	p, err := terrain.NewProfile(cone{}, orb.Point{10, 50}, orb.Point{10.2, 50}, terrain.ProfileOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	highest := 0
	for i, h := range p.HeightM {
		if h > p.HeightM[highest] {
			highest = i
		}
	}
	fmt.Printf("%.1f km, at the ends %.0f m, the top %.0f m after %.1f km\n",
		p.LengthM()/1000, p.HeightM[0], p.HeightM[highest], p.DistM[highest]/1000)
	// Output:
	// 14.3 km, at the ends 142 m, the top 500 m after 7.2 km
}
