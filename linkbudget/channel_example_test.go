package linkbudget_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
)

func ExampleMinSIR() {
	wanted := linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}
	for _, other := range []linkbudget.Modem{{SF: 9, BWHz: 125e3, CR: 1}, {SF: 10, BWHz: 125e3, CR: 1}} {
		sir, err := linkbudget.MinSIR(wanted, other)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("SF9 under SF%d: %+.0f dB\n", other.SF, sir)
	}
	// Output:
	// SF9 under SF9: +6 dB
	// SF9 under SF10: -13 dB
}

func ExampleChannelUtilisation() {
	used, err := linkbudget.ChannelUtilisation(linkbudget.Flood{AirtimeS: 0.328704, MessagesPerHour: 30, Forwarders: 19})
	if err != nil {
		fmt.Println(err)
		return
	}
	lost, err := linkbudget.CollisionProbability(used, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f %% of the time used, %.1f %% of the packets lost\n", 100*used, 100*lost)
	// Output: 5.5 % of the time used, 10.4 % of the packets lost
}

func ExampleETX() {
	etx, err := linkbudget.ETX(0.9, 0.9)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f transmissions\n", etx)
	// Output: 1.23 transmissions
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

func ExampleTxCurrentA() {
	for _, match := range []string{"22 dBm", "optimised"} {
		currentA, err := linkbudget.TxCurrentA("SX1262", match, 868e6, 14)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("14 dBm, match %s: %.0f mA\n", match, currentA*1e3)
	}
	// Output:
	// 14 dBm, match 22 dBm: 90 mA
	// 14 dBm, match optimised: 45 mA
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
