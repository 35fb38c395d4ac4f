package timepercent_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget/timepercent"
)

// How much deeper a bad night is on a link of 20 km, clear and behind a hill.
func ExampleFades() {
	of := timepercent.FadesOf{DistM: 20e3, FreqHz: 868e6, AHeightM: 310, BHeightM: 250, LatDeg: 48}
	clear := of.Fades()
	of.DiffractionDB = 25
	hill := of.Fades()
	for _, percent := range []float64{90, 99, 99.9} {
		fmt.Printf("%g %%: %.1f dB clear, %.1f dB behind a hill\n", percent, clear.NotExceeded(percent),
			hill.NotExceeded(percent))
	}
	fmt.Printf("12 dB of margin hold for %.3f and %.1f %% of a year\n", 100*(1-clear.Exceeded(12)),
		100*(1-hill.Exceeded(12)))
	// Output:
	// 90 %: 1.1 dB clear, 5.5 dB behind a hill
	// 99 %: 2.7 dB clear, 9.7 dB behind a hill
	// 99.9 %: 4.9 dB clear, 12.9 dB behind a hill
	// 12 dB of margin hold for 99.999 and 99.8 % of a year
}
