package band_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget/band"
)

func ExampleCheck() {
	use := band.Use{FreqHz: 868.1e6, BWHz: 125e3, TxDBm: 22, GainDBi: 8, AirtimeS: 0.370688, PacketsPerHour: 10}
	r, err := band.Check(band.EU868, use)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range r.Lines() {
		fmt.Println(line)
	}
	// Output:
	// band eu868, 868.1 MHz, 125 kHz: beyond the table
	// eu-868.0-868.6 (2006/771/EC as amended by (EU) 2017/1483, EN 300 220-2 band M, 2017, confidence B)
	//   second-hand: the Spanish national table UN-39, which quotes (EU) 2017/1483; later amendments, to (EU) 2025/105, were not read
	//   power 27.85 dBm ERP, at most 13.98 dBm (25 mW) ERP: exceeds
	// What the table says is not the law: check locally.
}

func ExampleReport_PacketsPerHour() {
	r, err := band.Check(band.EU868, band.Use{FreqHz: 868.1e6, BWHz: 125e3, TxDBm: 14, AirtimeS: 0.370688})
	if err != nil {
		fmt.Println(err)
		return
	}
	n, limited := r.PacketsPerHour()
	fmt.Printf("%d packets an hour (limited: %t), %.1f s of silence after each\n", n, limited, r.SilenceS())
	// Output: 97 packets an hour (limited: true), 36.7 s of silence after each
}

func ExampleParse() {
	b, err := band.Parse("AS923-3")
	fmt.Println(b, err)
	// Output: as923-3 <nil>
}

func ExampleExposureDistance() {
	d, err := band.ExposureDistance(band.ExposureICNIRP, 30, 915e6)
	fmt.Printf("%.3f m, %v\n", d, err)
	// Output: 0.132 m, <nil>
}
