package linkbudget_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/reflection"
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

// The parts by themselves, over level ground: free space, the clearance of the first
// Fresnel zone, two rays, and what each spreading factor has left.
func Example_parts() {
	const freqHz, distM, antennaM = 868.1e6, 10e3, 12
	sight := diffraction.Sightline{
		DistM:    []float64{0, 2500, 5000, 7500, distM},
		GroundM:  []float64{100, 100, 100, 100, 100},
		AHeightM: 100 + antennaM, BHeightM: 100 + antennaM, WavelengthM: radio.WavelengthM(freqHz),
	}
	worst, _ := sight.Worst(50)
	free := radio.FreeSpace(radio.SlantM(distM, sight.AHeightM, sight.BHeightM), freqHz)
	flat := reflection.TwoRay{
		DistM: distM, AHeightM: antennaM, BHeightM: antennaM,
		WavelengthM: sight.WavelengthM, Ground: radio.GroundMediumDry,
	}
	fmt.Printf("free space %.1f dB, clearance %.1f F1 at %.0f m\n", free, worst.Fraction, worst.AtM)
	both := flat.OverFlat().LossDB
	fmt.Printf("two rays over flat ground %.1f dB, last maximum at %.0f m\n", both, flat.BreakpointM())
	received := linkbudget.DBm(14).Add(2 + 2).Add(-both)
	for sf := 7; sf <= 12; sf++ {
		modem := linkbudget.Modem{SF: sf, BWHz: 125e3, CR: 1}
		fmt.Printf("SF%d fade margin %.1f dB\n", sf, received.Sub(modem.Sensitivity(linkbudget.DefaultNoiseFigureDB)))
	}
	// Output:
	// free space 111.2 dB, clearance 0.4 F1 at 5000 m
	// two rays over flat ground 117.0 dB, last maximum at 1668 m
	// SF7 fade margin 25.5 dB
	// SF8 fade margin 28.0 dB
	// SF9 fade margin 30.5 dB
	// SF10 fade margin 33.0 dB
	// SF11 fade margin 35.5 dB
	// SF12 fade margin 38.0 dB
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
