package linkbudget

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// kT0B and kT0B + 6 dB, computed with k = 1.380649e-23 J/K and 290 K.
func TestThermalNoise(t *testing.T) {
	for _, row := range []struct{ bwHz, thermal, floor float64 }{
		{62.5e3, -126.02, -120.02},
		{125e3, -123.01, -117.01},
		{250e3, -120.00, -114.00},
		{500e3, -116.99, -110.99},
	} {
		name := fmt.Sprintf("%v Hz", row.bwHz)
		radioWithin(t, name+" kT0B", float64(ThermalNoise(row.bwHz)), row.thermal, 0.01)
		radioWithin(t, name+" floor", float64(NoiseFloor(row.bwHz, 6, 0)), row.floor, 0.01)
		radioWithin(t, name+" floor, 4 dB of rise", float64(NoiseFloor(row.bwHz, 6, 4)), row.floor+4, 0.01)
	}
	// With -174 dBm/Hz rounded: -123.031 dBm (computed).
	radioWithin(t, "rounded kT0", float64(ThermalNoise(125e3))-kT0-174, -123.031, 0.0005)
	for _, bwHz := range []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		if got := ThermalNoise(bwHz); got != 0 {
			t.Errorf("ThermalNoise(%v) = %v, want 0 dBm", bwHz, got)
		}
	}
}

// Friis's formula, each chain computed apart. The amplifier of 18 dB gain and
// 1.5 dB noise figure is that of the SX1302 datasheet Rev 1.0, 3.6.
func TestCascadeNoiseFigure(t *testing.T) {
	receiver := func(nf DB) Stage { return Stage{NoiseFigureDB: nf} }
	lna := Stage{NoiseFigureDB: 1.5, GainDB: 18}
	rows := []struct {
		name  string
		chain []Stage
		want  float64
	}{
		{"receiver 6", []Stage{receiver(6)}, 6.00},
		{"filter 2.5, receiver 6", []Stage{Attenuator(2.5), receiver(6)}, 8.50},
		{"feeder 3, receiver 6", []Stage{Attenuator(3), receiver(6)}, 9.00},
		{"amplifier, receiver 6", []Stage{lna, receiver(6)}, 1.64},
		{"cavity 0.8, amplifier, feeder 3, receiver 6", []Stage{Attenuator(0.8), lna, Attenuator(3), receiver(6)}, 2.63},
		{"feeder 3, amplifier, receiver 6", []Stage{Attenuator(3), lna, receiver(6)}, 4.64},
		{"filter 2, amplifier, receiver 7", []Stage{Attenuator(2), lna, receiver(7)}, 3.69},
	}
	for _, row := range rows {
		got, err := CascadeNoiseFigure(row.chain...)
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
		}
		radioWithin(t, row.name, float64(got), row.want, 0.005)
	}
}

func TestCascadeNoiseFigureRefuses(t *testing.T) {
	if _, err := CascadeNoiseFigure(); err == nil {
		t.Error("empty chain passed")
	}
	nan := DB(math.NaN())
	_, err := CascadeNoiseFigure(Stage{NoiseFigureDB: -1, GainDB: nan}, Stage{NoiseFigureDB: nan, GainDB: 500}, Stage{NoiseFigureDB: 101})
	if err == nil {
		t.Fatal("no error")
	}
	for _, want := range []string{"stage 1: noise figure -1", "stage 1: gain NaN", "stage 2: noise figure NaN", "stage 2: gain 500", "stage 3: noise figure 101"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q lacks %q", err, want)
		}
	}
}

// A passive loss ahead of a receiver adds to its noise figure decibel by
// decibel, and splitting it in two changes nothing.
func TestAttenuatorsAdd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loss := func(name string) DB { return DB(rapid.Float64Range(0, 20).Draw(t, name)) }
		a, b, nf := loss("a"), loss("b"), loss("nf")
		got, err := CascadeNoiseFigure(Attenuator(a), Attenuator(b), Stage{NoiseFigureDB: nf})
		if err != nil || !(math.Abs(float64(got-a-b-nf)) <= 1e-9) {
			t.Fatalf("%v + %v + %v dB gave %v, %v", a, b, nf, got, err)
		}
	})
}

// 10 log(1 + i/n), computed.
func TestDesensitisation(t *testing.T) {
	for over, want := range map[DB]float64{-10: 0.41, -6: 0.97, 0: 3.01, 3: 4.76, 6: 6.97, 10: 10.41, 20: 20.04} {
		radioWithin(t, fmt.Sprintf("%v dB over the noise", over), float64(Desensitisation(over)), want, 0.005)
	}
	// A co-sited +22 dBm transmitter behind 30 dB of isolation with -120 dBc/Hz
	// of phase noise at 1 MHz: -77 dBm in 125 kHz, 40.0 dB above a floor of
	// -117.03 dBm (computed; SX1261/2 datasheet Rev 1.1, table 3-7).
	phaseNoise := DBm(22 - 30 - 120 + 10*math.Log10(125e3))
	radioWithin(t, "phase noise of a neighbour", float64(Desensitisation(phaseNoise.Sub(NoiseFloor(125e3, 6, 0)))), 40.0, 0.05)
}

// Summing powers is an independent way to the same figure, at any level.
func TestDesensitisationIsSumOfPowers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		over := rapid.Float64Range(-100, 100).Draw(t, "over")
		noise := DBm(-117)
		want := SumPower(noise, noise.Add(DB(over))).Sub(noise)
		if got := Desensitisation(DB(over)); !(math.Abs(float64(got-want)) <= 1e-9) {
			t.Fatalf("%v dB over the noise: %v, want %v", over, got, want)
		}
	})
	radioWithin(t, "far over the noise", float64(Desensitisation(1e6)), 1e6, 1e-6)
	radioWithin(t, "far under the noise", float64(Desensitisation(-1e6)), 0, 0)
}

// ITU-R P.372 system noise; rows computed. With a lossless antenna that sees
// only surroundings at 290 K the receiver alone remains.
func TestSystemNoise(t *testing.T) {
	city := SystemNoise{ExternalDB: 8.16, NoiseFigureDB: 6}
	radioWithin(t, "external 8.16, receiver 6", float64(city.Figure()), 9.79, 0.05)
	radioWithin(t, "its rise", float64(city.Rise()), 3.8, 0.05)
	radioWithin(t, "external 0", float64(SystemNoise{NoiseFigureDB: 6}.Figure()), 6, 0.01)
	radioWithin(t, "external below 0", float64(SystemNoise{ExternalDB: -4.6, NoiseFigureDB: 6}.Rise()), 0, 1e-12)
	// Counted at the receiver input, the feeder weakens the external noise:
	// 1 + (f_a - 1)/(l f_r), by hand for 8.16, 3 and 6 dB: 1 + 5.546/7.943.
	radioWithin(t, "rise behind 3 dB of feeder", float64(SystemNoise{ExternalDB: 8.16, FeederLossDB: 3, NoiseFigureDB: 6}.Rise()), 2.300, 0.001)
	// A feeder ahead of the receiver is a cascade.
	chain, err := CascadeNoiseFigure(Attenuator(3), Stage{NoiseFigureDB: 6})
	if err != nil {
		t.Fatal(err)
	}
	radioWithin(t, "feeder 3, receiver 6", float64(SystemNoise{FeederLossDB: 3, NoiseFigureDB: 6}.Figure()), float64(chain), 1e-9)
}
