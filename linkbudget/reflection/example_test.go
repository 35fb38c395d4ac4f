package reflection_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/reflection"
)

// Two masts on the shores of a lake: how far the ray by the water may move the level.
func ExampleTwoRay_OverEarth() {
	two := reflection.TwoRay{
		DistM: 5e3, AHeightM: 12, BHeightM: 8, WavelengthM: radio.WavelengthM(868.1e6),
		Ground: radio.GroundMediumDry, Polarisation: radio.Vertical,
	}
	pair, ok := two.OverEarth(radio.EffectiveRadiusM(radio.KMedian))
	if !ok {
		fmt.Println("the earth hides the antennas from each other")
		return
	}
	null, peak := reflection.RippleExtremes(pair.Rho)
	fmt.Printf("reflected %.0f m from A at %.2f of the direct ray: %.0f to %+.0f dB\n", pair.PointM, pair.Rho, null, peak)
	// Output: reflected 2983 m from A at 0.94 of the direct ray: -24 to +6 dB
}
