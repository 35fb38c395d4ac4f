package linkbudget_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
)

func ExampleModem_Sensitivity() {
	for _, sf := range []int{7, 12} {
		m := linkbudget.Modem{SF: sf, BWHz: 125e3, CR: 1}
		fmt.Printf("SF%d: %.1f dBm at %.0f bit/s\n", sf, m.Sensitivity(linkbudget.DefaultNoiseFigureDB), m.BitRate())
	}
	// Output:
	// SF7: -124.5 dBm at 5469 bit/s
	// SF12: -137.0 dBm at 244 bit/s
}

func ExampleTimeOnAir() {
	m := linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}
	p := linkbudget.Packet{PayloadB: 13, PreambleSymbols: 8}
	a, err := linkbudget.TimeOnAir(m, p, linkbudget.FamilySX126x)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f ms, of which preamble %.3f ms and %d payload symbols\n", a.TotalS*1e3, a.PreambleS*1e3, a.PayloadSymbols)
	// Output: 164.864 ms, of which preamble 50.176 ms and 28 payload symbols
}

func ExampleFeeder_Loss() {
	thin, err := linkbudget.CoaxByName("RG-174")
	if err != nil {
		fmt.Println(err)
		return
	}
	loss, err := linkbudget.Feeder{Coax: thin, LengthM: 5, ConnectorPairs: 2}.Loss(868e6)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f dB\n", loss)
	// Output: 4.5 dB
}
