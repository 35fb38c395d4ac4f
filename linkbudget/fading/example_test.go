package fading_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget/fading"
)

func ExampleLaw_Margin() {
	for _, law := range []fading.Law{
		{Kind: fading.Rician, KDB: 10},
		{Kind: fading.Rayleigh},
	} {
		margin, err := law.Margin(0.99)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%v: %.1f dB for 99 %%\n", law.Kind, margin)
	}
	// Output:
	// rician: 6.2 dB for 99 %
	// rayleigh: 20.0 dB for 99 %
}
