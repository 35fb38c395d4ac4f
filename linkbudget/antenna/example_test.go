package antenna_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget/antenna"
)

func ExampleAntenna_Gain() {
	// A collinear on the ridge towards a valley node 12 degrees below it.
	omni := antenna.Antenna{PeakDBi: 8}
	towards, err := omni.Gain(200, -12)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f dBi of 8\n", towards)
	_, err = antenna.Antenna{PeakDBi: 8, Beam: antenna.BeamSector, TiltDeg: 60}.Gain(200, -12)
	fmt.Println(err)
	// Output:
	// 2.1 dBi of 8
	// antenna: tilt_deg: found 60, allowed -45 to 45 deg
	// antenna: azimuth_deg: missing, a sector antenna needs the direction it looks in, 0 to 360 deg
}

func ExampleFeeder_Loss() {
	thin, err := antenna.CoaxByName("RG-174")
	if err != nil {
		fmt.Println(err)
		return
	}
	loss, err := antenna.Feeder{Coax: thin, LengthM: 5}.Loss(868e6)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f dB\n", loss)
	// Output: 4.2 dB
}

func ExampleEIRPFromERP() {
	fmt.Printf("14 dBm ERP is %.2f dBm EIRP\n", antenna.EIRPFromERP(14))
	// Output: 14 dBm ERP is 16.15 dBm EIRP
}
