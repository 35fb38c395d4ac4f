package linkbudget_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
)

func ExampleRSSIPort_PacketRSSI() {
	// What the registers of an SX1276 on 868 MHz and of an SX1262 hold of a packet.
	const snr = -24 // quarter decibels
	fmt.Printf("packet %.0f dBm, channel now %.0f dBm\n", linkbudget.PortSX1276HF.PacketRSSI(50, snr), linkbudget.PortSX1276HF.RSSI(48))
	fmt.Printf("packet %.1f dBm where it is strong\n", linkbudget.PortSX1276HF.PacketRSSISlope(80))
	heard := linkbudget.Reception{TotalDBm: linkbudget.SX126xRSSI(226), SNRDB: linkbudget.RegisterSNR(snr)}
	fmt.Printf("signal %.1f dBm\n", heard.Signal())
	// Output:
	// packet -113 dBm, channel now -109 dBm
	// packet -71.7 dBm where it is strong
	// signal -120.0 dBm
}

func ExampleReception_Margin() {
	heard := linkbudget.Reception{TotalDBm: -113, SNRDB: -6}
	margin, err := heard.Margin(linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}, 6)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("signal %.1f dBm, margin %.1f dB\n", heard.Signal(), margin)
	// Output: signal -120.0 dBm, margin 6.5 dB
}

func ExampleNearbyTransmitter_Desense() {
	tx := linkbudget.NearbyTransmitter{Chip: "SX1262", PowerDBm: 22, OffsetHz: 1e6, IsolationDB: 60}
	d, err := tx.Desense(linkbudget.DesensedReceiver{Chip: "SX1262", BWHz: 125e3, NoiseFigureDB: 6})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("phase noise %.1f dB, blocking %.1f dB, together %.1f dB\n", d.PhaseNoiseDB, d.BlockingDB, d.RiseDB)
	// Output: phase noise 10.4 dB, blocking 8.6 dB, together 12.4 dB
}

func ExampleRadioDuty_AverageA() {
	d := linkbudget.RadioDuty{TxShare: 0.01, RxShare: 0.99, TxCurrentA: 118e-3, RxCurrentA: 5.3e-3}
	average, err := d.AverageA()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f mA\n", average*1e3)
	// Output: 6.43 mA
}
