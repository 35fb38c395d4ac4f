package timepercent_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget/timepercent"
)

// How often layers of air bend much, from one shore to another and over as much land.
func ExampleAlong() {
	distM, heightM := []float64{0, 5e3, 10e3, 20e3, 30e3, 35e3, 40e3}, []float64{10, 2, 0, 0, 0, 3, 10}
	sea := timepercent.Along(50, distM, heightM, func(i int) bool { return heightM[i] == 0 })
	land := timepercent.Inland(50, 40e3)
	fmt.Printf("%.0f %% sea: %.1f %% of the time; land: %.1f %%\n", 100*sea.SeaFraction, sea.BetaPercent(),
		land.BetaPercent())
	// Output: 62 % sea: 6.8 % of the time; land: 1.6 %
}

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
