package linkbudget_test

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

func Example() {
	// A ridge of 160 m in the middle of 10 km of level ground.
	path := terrain.Profile{
		DistM:   []float64{0, 2500, 5000, 7500, 10000},
		HeightM: []float64{100, 100, 160, 100, 100},
	}
	env := linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}
	r, err := linkbudget.Evaluate(path, linkbudget.DefaultStation("barn", 12), linkbudget.DefaultStation("tower", 12), env)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, term := range r.Terms {
		fmt.Printf("%-13s %6.1f dB\n", term.Name, term.DB)
	}
	fmt.Printf("margin %.1f ± %.1f dB: %.0f %%, %s, path %s\n", r.MarginDB, r.Doubt.SigmaDB, 100*r.Probability, r.Verdict,
		r.Path)
	// Output:
	// free space     111.2 dB
	// diffraction     30.3 dB
	// margin 0.2 ± 11.0 dB: 51 %, marginal, path blocked
}

// The parts of a path over level ground, and what each spreading factor has left.
func Example_parts() {
	path := terrain.Profile{DistM: []float64{0, 2500, 5000, 7500, 10000}, HeightM: []float64{100, 100, 100, 100, 100}}
	a, b := linkbudget.DefaultStation("barn", 12), linkbudget.DefaultStation("tower", 12)
	env := linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 7, BWHz: 125e3, CR: 1}}
	for ; env.Modem.SF <= 12; env.Modem.SF++ {
		r, err := linkbudget.Evaluate(path, a, b, env)
		two, _, twoErr := linkbudget.TwoRayOver(path, a, b, env)
		if err := errors.Join(err, twoErr); err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("SF%d: free space %.1f dB, two rays %.1f dB, clearance %.1f F1, fade margin %.1f dB\n",
			env.Modem.SF, r.FreeSpaceDB, two.LossDB, r.Worst.Fraction, r.MarginDB)
	}
	// Output:
	// SF7: free space 111.2 dB, two rays 119.3 dB, clearance 0.4 F1, fade margin 18.8 dB
	// SF8: free space 111.2 dB, two rays 119.3 dB, clearance 0.4 F1, fade margin 21.3 dB
	// SF9: free space 111.2 dB, two rays 119.3 dB, clearance 0.4 F1, fade margin 23.8 dB
	// SF10: free space 111.2 dB, two rays 119.3 dB, clearance 0.4 F1, fade margin 26.3 dB
	// SF11: free space 111.2 dB, two rays 119.3 dB, clearance 0.4 F1, fade margin 28.8 dB
	// SF12: free space 111.2 dB, two rays 119.3 dB, clearance 0.4 F1, fade margin 31.3 dB
}

// Two rays over the ground of a path: how much they add to free space or take from it.
func ExampleTwoRayOver() {
	lake := terrain.Profile{DistM: []float64{0, 1000, 2000, 3000, 4000}, HeightM: []float64{100, 100, 100, 100, 100}}
	env := linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}
	for _, heightM := range []float64{5, 10, 25} {
		pole := linkbudget.DefaultStation("pole", heightM)
		two, ok, err := linkbudget.TwoRayOver(lake, pole, pole, env)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%2.0f m: %t, reflected at %.0f m, %+.1f dB\n", heightM, ok, two.PointM, two.RelativeDB)
	}
	// Output:
	//  5 m: true, reflected at 2000 m, -13.6 dB
	// 10 m: true, reflected at 2000 m, -1.8 dB
	// 25 m: true, reflected at 2000 m, -3.6 dB
}
