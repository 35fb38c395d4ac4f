package linkbudget_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
)

func ExampleSymbolErrorRate() {
	fmt.Printf("SF7 at -7.5 dB: %.3g\n", linkbudget.SymbolErrorRate(7, -7.5))
	// Output: SF7 at -7.5 dB: 0.000522
}

func ExamplePacketError_PER() {
	e := linkbudget.PacketError{
		Modem:  linkbudget.Modem{SF: 7, BWHz: 125e3, CR: 1},
		Packet: linkbudget.Packet{PayloadB: 20, PreambleSymbols: 8},
	}
	for _, snr := range []linkbudget.DB{-7.5, -9, -10.5} {
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
	e := linkbudget.PacketError{
		Modem:  linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1},
		Packet: linkbudget.Packet{PayloadB: 20, PreambleSymbols: 8},
	}
	for _, fading := range []linkbudget.Fading{
		{Kind: linkbudget.FadingNone},
		{Kind: linkbudget.FadingRician, KDB: 6},
		{Kind: linkbudget.FadingRayleigh},
	} {
		arrives, err := e.Delivery(e.Modem.RequiredSNR()+8, fading)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%-8v %.1f %%\n", fading.Kind, 100*arrives)
	}
	// Output:
	// none     100.0 %
	// rician   98.5 %
	// rayleigh 91.3 %
}

func ExampleFading_Margin() {
	for _, fading := range []linkbudget.Fading{
		{Kind: linkbudget.FadingRician, KDB: 10},
		{Kind: linkbudget.FadingRayleigh},
	} {
		margin, err := fading.Margin(0.99)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%v: %.1f dB for 99 %%\n", fading.Kind, margin)
	}
	// Output:
	// rician: 6.2 dB for 99 %
	// rayleigh: 20.0 dB for 99 %
}
