package diffraction_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
)

// A ridge of 160 m in the middle of 10 km of level ground.
func ExampleRelief() {
	path := diffraction.Path{
		DistM:    []float64{0, 2500, 5000, 7500, 10000},
		GroundM:  []float64{100, 100, 160, 100, 100},
		AHeightM: 12, BHeightM: 12,
		EffectiveRadiusM: radio.EffectiveRadiusM(radio.KMedian), FreqHz: 868.1e6,
	}
	var ground diffraction.Relief
	ground.Gather(&path, diffraction.TerrainError{})
	var loss diffraction.Loss
	ground.DeltaBullington(&loss, &path)
	path.Complete(&loss)
	fmt.Printf("%.1f dB behind an edge %.0f m from A\n", loss.LossDB, loss.EdgeAtM)
	// Output: 30.3 dB behind an edge 5000 m from A
}
