package radio_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget/radio"
)

func ExampleSurfaceRefractivity() {
	for _, lat := range []float64{0, 36.5, -50, 65} {
		fmt.Printf("%g degrees: %.0f N-units\n", lat, radio.SurfaceRefractivity(lat))
	}
	// Output:
	// 0 degrees: 374 N-units
	// 36.5 degrees: 330 N-units
	// -50 degrees: 326 N-units
	// 65 degrees: 321 N-units
}

func ExampleNormalQuantile() {
	// The margin that makes 90 % of a doubt of 6 dB.
	z, err := radio.NormalQuantile(0.9)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f dB; a margin of 3 dB makes %.0f %%\n", 6*z, 100*radio.Phi(3.0/6))
	// Output: 7.7 dB; a margin of 3 dB makes 69 %
}
