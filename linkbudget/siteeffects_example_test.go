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

func ExampleSideMount_Gain() {
	// A 50 mm mast, the antenna 35 cm from its axis.
	mount := linkbudget.SideMount{SpacingM: 0.35, MastDiameterM: 0.05, FreqHz: 868e6}
	for _, offDeg := range []float64{0, 45, 180} {
		g, err := mount.Gain(offDeg)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%3.0f degrees: %+.1f dB\n", offDeg, g)
	}
	// Output:
	//   0 degrees: -2.1 dB
	//  45 degrees: +1.3 dB
	// 180 degrees: -3.5 dB
}

func ExampleNearObstacle_Loss() {
	// A parapet 10 m away, seen 3 degrees above the line to the other antenna.
	loss, err := linkbudget.NearObstacleAt(3, 10, 868e6).Loss()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f dB\n", loss)
	// Output: 9.5 dB
}

func ExampleQuickMultipathFading_Occurrence() {
	m := linkbudget.QuickMultipathFading{DistM: 30e3, FreqHz: 868e6, AHeightM: 420, BHeightM: 360, DN1: -200}
	p0, err := m.Occurrence()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("deeper than 20 dB in %.4f %% of the worst month\n", linkbudget.FadePercent(p0, 20))
	// Output: deeper than 20 dB in 0.0033 % of the worst month
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
