package linkbudget_test

import (
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
	fmt.Printf("margin %.1f ± %.1f dB: %.0f %%, %s, path %s\n", r.MarginDB, r.Doubt.SigmaDB, 100*r.Probability, r.Verdict, r.Path)
	// Output:
	// free space     111.2 dB
	// diffraction     30.3 dB
	// margin 0.2 ± 11.0 dB: 51 %, marginal, path blocked
}
