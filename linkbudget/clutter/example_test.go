package clutter_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget/clutter"
)

func ExampleTerminal_Loss() {
	// A node on a fence in a suburb, and one on a roof above it.
	for _, heightM := range []float64{2, 11} {
		c := clutter.Terminal{Clutter: clutter.Suburban, HeightM: heightM, FreqHz: 868.1e6}
		fmt.Printf("%.0f m up: %.1f dB\n", heightM, c.Loss())
	}
	// Output:
	// 2 m up: 18.1 dB
	// 11 m up: 0.0 dB
}

func ExampleStatistical_Loss() {
	loss, err := clutter.Statistical{DistM: 1500, FreqHz: 915e6, Percent: 50}.Loss()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f dB\n", loss)
	_, err = clutter.Statistical{DistM: 100, FreqHz: 433e6, Percent: 50}.Loss()
	fmt.Println(err)
	// Output:
	// 24.6 dB
	// statistical clutter: path: found 100, allowed 250 m and more
	// statistical clutter: frequency: found 4.33e+08, allowed 5e+08 to 6.7e+10 Hz
}
