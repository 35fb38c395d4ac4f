package power

import (
	"math"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/lora"
)

// Sums by hand of the formula I = sum(share I), computed.
func TestLoadOfShares(t *testing.T) {
	for _, c := range []struct {
		name            string
		duty            lora.RadioDuty
		mA, mAhDay, wh  float64
		tolMA, tolMAhWh float64
	}{
		{"94 % asleep 0.05, 5 % rx 12, 1 % tx 130", lora.RadioDuty{TxShare: 0.01, RxShare: 0.05, TxCurrentA: 0.130, RxCurrentA: 0.012, RestCurrentA: 50e-6}, 1.947, 46.7, 0.173, 0.0005, 0.05},
		{"98 % rx 15, 2 % tx 135", lora.RadioDuty{TxShare: 0.02, RxShare: 0.98, TxCurrentA: 0.135, RxCurrentA: 0.015}, 17.40, 417.6, 1.545, 0.005, 0.05},
		{"25 mA", lora.RadioDuty{HostCurrentA: 0.025}, 25, 600, 2.22, 1e-9, 1e-6},
		// LoRa receive boosted 5.3 mA at 99 %, SX1262 22 dBm 118 mA at 1 %.
		{"radio alone", lora.RadioDuty{TxShare: 0.01, RxShare: 0.99, TxCurrentA: 0.118, RxCurrentA: 0.0053}, 6.427, 154.2, 0.5707, 0.0005, 0.06},
	} {
		l := Load{Duty: c.duty}
		a, err := l.AverageA(3.7)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name+" mA", a*1000, c.mA, c.tolMA)
		near(t, c.name+" mAh/d", a*24000, c.mAhDay, c.tolMAhWh)
		wh, _ := l.DayWh(3.7)
		near(t, c.name+" Wh/d", wh, c.wh, 0.0006)
	}
}

func TestTransmitShare(t *testing.T) {
	// 36 s of an hour are 1 %: 100 packets of 0.36 s, computed.
	share, err := Traffic{OwnPerHour: 40, RelayedPerHour: 60, AirtimeS: 0.36}.TxShare()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "share", share, 0.01, 1e-12)
	if _, err := (Traffic{OwnPerHour: 4000, AirtimeS: 1}).TxShare(); err == nil {
		t.Error("more airtime than an hour has was accepted")
	}
	if _, err := (Traffic{OwnPerHour: -1, RelayedPerHour: math.NaN(), AirtimeS: -2}).TxShare(); err == nil ||
		strings.Count(err.Error(), "found") != 3 {
		t.Errorf("want three faults, got %v", err)
	}
}

// Behind a converter the power is kept: 10 mA at 3.3 V out of 3.7 V at 90 % is
// 33/3.33 = 9.91 mA (computed). Behind a linear regulator the current is.
func TestConverterKeepsPowerRegulatorKeepsCurrent(t *testing.T) {
	l := Load{Duty: lora.RadioDuty{HostCurrentA: 0.010}, StandingA: 0.001}
	a, _ := l.AverageA(3.7)
	near(t, "regulator", a, 0.011, 1e-12)
	l.ConverterEfficiency, l.SupplyV = 0.9, 3.3
	a, _ = l.AverageA(3.7)
	near(t, "converter", a, 0.001+0.033/(3.7*0.9), 1e-12)
}

func TestMeasuredLoadStandsForAll(t *testing.T) {
	l := Load{MeasuredA: 0.02, StandingA: 0.5, Duty: lora.RadioDuty{HostCurrentA: 1}}
	a, err := l.AverageA(3.7)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "measured", a, 0.02, 0)
}

func TestLoadFaults(t *testing.T) {
	l := Load{StandingA: -1, ConverterEfficiency: 7, SupplyV: 0.1, Duty: lora.RadioDuty{TxShare: 2}}
	_, err := l.AverageA(math.NaN())
	if err == nil || strings.Count(err.Error(), "found") != 5 {
		t.Errorf("want five faults, got %v", err)
	}
}
