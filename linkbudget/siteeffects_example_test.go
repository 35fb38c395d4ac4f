package linkbudget_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
)

func ExampleTerminalClutter_Loss() {
	// A node on a fence in a suburb, and one on a roof above it.
	for _, heightM := range []float64{2, 11} {
		c := linkbudget.TerminalClutter{Clutter: linkbudget.ClutterSuburban, HeightM: heightM, FreqHz: 868.1e6}
		fmt.Printf("%.0f m up: %.1f dB\n", heightM, c.Loss())
	}
	// Output:
	// 2 m up: 18.1 dB
	// 11 m up: 0.0 dB
}

func ExampleStatisticalClutter_Loss() {
	loss, err := linkbudget.StatisticalClutter{DistM: 1500, FreqHz: 915e6, Percent: 50}.Loss()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f dB\n", loss)
	_, err = linkbudget.StatisticalClutter{DistM: 100, FreqHz: 433e6, Percent: 50}.Loss()
	fmt.Println(err)
	// Output:
	// 24.6 dB
	// statistical clutter: path of 100 m, allowed from 250 m
	// statistical clutter: frequency 4.33e+08 Hz, allowed 5e8 to 6.7e10 Hz
}

func ExampleWoodBetween() {
	through, err := linkbudget.Woodland{DepthM: 80, FreqHz: 868e6}.ThroughLoss()
	if err != nil {
		fmt.Println(err)
		return
	}
	over := linkbudget.KnifeEdge(0.5) // diffraction over the canopy
	fmt.Printf("through %.1f dB, over %.1f dB, counts %.1f dB\n", through, over, linkbudget.WoodBetween(over, through))
	// Output: through 13.0 dB, over 10.3 dB, counts 10.3 dB
}

func ExampleNormalQuantile() {
	// The margin that makes 90 % of a doubt of 6 dB.
	z, err := linkbudget.NormalQuantile(0.9)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f dB; a margin of 3 dB makes %.0f %%\n", 6*z, 100*linkbudget.Phi(3.0/6))
	// Output: 7.7 dB; a margin of 3 dB makes 69 %
}
