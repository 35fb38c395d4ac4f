package lora_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
)

func ExampleModem_Sensitivity() {
	for _, sf := range []int{7, 12} {
		m := lora.Modem{SF: sf, BWHz: 125e3, CR: 1}
		fmt.Printf("SF%d: %.1f dBm at %.0f bit/s\n", sf, m.Sensitivity(6), m.BitRate())
	}
	// Output:
	// SF7: -124.5 dBm at 5469 bit/s
	// SF12: -137.0 dBm at 244 bit/s
}

func ExampleTimeOnAir() {
	m := lora.Modem{SF: 9, BWHz: 125e3, CR: 1}
	p := lora.Packet{PayloadB: 13, PreambleSymbols: 8}
	a, err := lora.TimeOnAir(m, p, lora.FamilySX126x)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f ms, of which preamble %.3f ms and %d payload symbols\n", a.TotalS*1e3, a.PreambleS*1e3,
		a.PayloadSymbols)
	// Output: 164.864 ms, of which preamble 50.176 ms and 28 payload symbols
}

func ExampleSymbolErrorRate() {
	fmt.Printf("SF7 at -7.5 dB: %.3g\n", lora.SymbolErrorRate(7, -7.5))
	// Output: SF7 at -7.5 dB: 0.000522
}

func ExamplePacketError_PER() {
	e := lora.PacketError{
		Modem:  lora.Modem{SF: 7, BWHz: 125e3, CR: 1},
		Packet: lora.Packet{PayloadB: 20, PreambleSymbols: 8},
	}
	for _, snr := range []radio.DB{-7.5, -9, -10.5} {
		per, err := e.PER(snr)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.1f dB: %.1f %% lost\n", snr, 100*per)
	}
	// Output:
	// -7.5 dB: 0.4 % lost
	// -9.0 dB: 11.6 % lost
	// -10.5 dB: 70.5 % lost
}

func ExamplePacketError_Delivery() {
	e := lora.PacketError{
		Modem:  lora.Modem{SF: 9, BWHz: 125e3, CR: 1},
		Packet: lora.Packet{PayloadB: 20, PreambleSymbols: 8},
	}
	for _, law := range []fading.Law{
		{Kind: fading.None},
		{Kind: fading.Rician, KDB: 6},
		{Kind: fading.Rayleigh},
	} {
		arrives, err := e.Delivery(e.Modem.RequiredSNR()+8, law)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%-8v %.1f %%\n", law.Kind, 100*arrives)
	}
	// Output:
	// none     100.0 %
	// rician   98.5 %
	// rayleigh 91.3 %
}

func ExampleReception_Margin() {
	heard := lora.Reception{TotalDBm: -113, SNRDB: -6}
	margin, err := heard.Margin(lora.Modem{SF: 9, BWHz: 125e3, CR: 1}, 6)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("signal %.1f dBm, margin %.1f dB\n", heard.Signal(), margin)
	// Output: signal -120.0 dBm, margin 6.5 dB
}

func ExampleRSSIPort_PacketRSSI() {
	// What the registers of an SX1276 on 868 MHz and of an SX1262 hold of a packet.
	const snr = -24 // quarter decibels
	fmt.Printf("packet %.0f dBm, channel now %.0f dBm\n", lora.PortSX1276HF.PacketRSSI(50, snr),
		lora.PortSX1276HF.RSSI(48))
	fmt.Printf("packet %.1f dBm where it is strong\n", lora.PortSX1276HF.PacketRSSISlope(80))
	heard := lora.Reception{TotalDBm: lora.SX126xRSSI(226), SNRDB: lora.RegisterSNR(snr)}
	fmt.Printf("signal %.1f dBm\n", heard.Signal())
	// Output:
	// packet -113 dBm, channel now -109 dBm
	// packet -71.7 dBm where it is strong
	// signal -120.0 dBm
}

func ExampleRadioDuty_AverageA() {
	d := lora.RadioDuty{TxShare: 0.01, RxShare: 0.99, TxCurrentA: 118e-3, RxCurrentA: 5.3e-3}
	average, err := d.AverageA()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f mA\n", average*1e3)
	// Output: 6.43 mA
}
