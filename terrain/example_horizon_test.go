package terrain_test

import (
	"context"
	"fmt"
	"os"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// The skyline 5 m above a hillside of the Cumberland mountains, and a house 20°
// high in the south-east.
func ExampleHorizon() {
	sources, err := terrain.OpenSources(os.DirFS("../testdata/cumberland"), "N36W085.hgt.zip")
	if err != nil {
		fmt.Println(err)
		return
	}
	dem, err := terrain.NewTiles(sources, terrain.TilesOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := terrain.Horizon(context.Background(), dem, orb.Point{-84.25, 36.58}, 5, terrain.HorizonOptions{
		Obstacles: []terrain.Obstacle{{FromDeg: 125, ToDeg: 145, ElevDeg: 20}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, az := range []int{0, 135, 225} {
		d := s.Directions[az]
		fmt.Printf("%d°: %.1f°, at most %.1f° (%v), ground %.0f m away\n", az, d.ElevDeg, d.MostDeg, d.Flag, d.DistM)
	}
	// Output:
	// 0°: -0.8°, at most 0.8° (void), ground 10542 m away
	// 135°: 20.0°, at most 20.0° (ground), ground 0 m away
	// 225°: 17.3°, at most 17.3° (ground), ground 59 m away
}
