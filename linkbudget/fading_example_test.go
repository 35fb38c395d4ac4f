package linkbudget_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
)

func ExampleFading_Margin() {
	for _, law := range []linkbudget.Fading{
		{Kind: linkbudget.FadingRician, KDB: 10},
		{Kind: linkbudget.FadingRayleigh},
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
