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
	// statistical clutter: path: found 100, allowed 250 m and more
	// statistical clutter: frequency: found 4.33e+08, allowed 5e+08 to 6.7e+10 Hz
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

func ExampleAntenna_Gain() {
	// A collinear on the ridge towards a valley node 12 degrees below it.
	omni := linkbudget.Antenna{PeakDBi: 8}
	towards, err := omni.Gain(200, -12)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f dBi of 8\n", towards)
	_, err = linkbudget.Antenna{PeakDBi: 8, Beam: linkbudget.BeamSector, TiltDeg: 60}.Gain(200, -12)
	fmt.Println(err)
	// Output:
	// 2.1 dBi of 8
	// antenna: tilt_deg: found 60, allowed -45 to 45 deg
	// antenna: azimuth_deg: missing, a sector antenna needs the direction it looks in, 0 to 360 deg
}

func ExampleEIRPFromERP() {
	fmt.Printf("14 dBm ERP is %.2f dBm EIRP\n", linkbudget.EIRPFromERP(14))
	// Output: 14 dBm ERP is 16.15 dBm EIRP
}

func ExampleTerrainErrorByName() {
	for _, name := range []string{"SRTM", "county survey"} {
		e, err := linkbudget.TerrainErrorByName(name)
		fmt.Printf("%s: %.1f m\n", e.Product, e.SigmaM)
		if err != nil {
			fmt.Println(err)
		}
	}
	// Output:
	// SRTM: 6.3 m
	// county survey: 6.0 m
	// terrain model "county survey", known are SRTM, NASADEM, AW3D30, Copernicus GLO-30, MERIT, ASTER; 6 m is assumed
}
