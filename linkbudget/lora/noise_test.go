package lora

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
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
		check.Near(t, name+" kT0B", float64(ThermalNoise(row.bwHz)), row.thermal, 0.01)
		check.Near(t, name+" floor", float64(NoiseFloor(row.bwHz, 6, 0)), row.floor, 0.01)
		check.Near(t, name+" floor, 4 dB of rise", float64(NoiseFloor(row.bwHz, 6, 4)), row.floor+4, 0.01)
	}
	// With -174 dBm/Hz rounded: -123.031 dBm (computed).
	check.Near(t, "rounded kT0", float64(ThermalNoise(125e3))-kT0-174, -123.031, 0.0005)
	for _, bwHz := range []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		if got := ThermalNoise(bwHz); got != 0 {
			t.Errorf("ThermalNoise(%v) = %v, want 0 dBm", bwHz, got)
		}
	}
}

// 10 log(1 + i/n), computed.
func TestDesensitisation(t *testing.T) {
	for over, want := range map[radio.DB]float64{-10: 0.41, -6: 0.97, 0: 3.01, 3: 4.76, 6: 6.97, 10: 10.41, 20: 20.04} {
		check.Near(t, fmt.Sprintf("%v dB over the noise", over), float64(Desensitisation(over)), want, 0.005)
	}
	// A co-sited +22 dBm transmitter behind 30 dB of isolation with -120 dBc/Hz
	// of phase noise at 1 MHz: -77 dBm in 125 kHz, 40.0 dB above a floor of
	// -117.03 dBm (computed; SX1261/2 datasheet Rev 1.1, table 3-7).
	phaseNoise := radio.DBm(22 - 30 - 120 + 10*math.Log10(125e3))
	check.Near(t, "phase noise of a neighbour", float64(Desensitisation(phaseNoise.Sub(NoiseFloor(125e3, 6, 0)))), 40.0,
		0.05)
}

// Summing powers is an independent way to the same figure, at any level.
func TestDesensitisationIsSumOfPowers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		over := rapid.Float64Range(-100, 100).Draw(t, "over")
		noise := radio.DBm(-117)
		want := radio.SumPower(noise, noise.Add(radio.DB(over))).Sub(noise)
		if got := Desensitisation(radio.DB(over)); !(math.Abs(float64(got-want)) <= 1e-9) {
			t.Fatalf("%v dB over the noise: %v, want %v", over, got, want)
		}
	})
	check.Near(t, "far over the noise", float64(Desensitisation(1e6)), 1e6, 1e-6)
	check.Near(t, "far under the noise", float64(Desensitisation(-1e6)), 0, 0)
}

// ITU-R P.372 system noise; rows computed. With a lossless antenna that sees
// only surroundings at 290 K the receiver alone remains.
func TestSystemNoise(t *testing.T) {
	city := SystemNoise{ExternalDB: 8.16, NoiseFigureDB: 6}
	check.Near(t, "external 8.16, receiver 6", float64(city.Figure()), 9.79, 0.05)
	check.Near(t, "its rise", float64(city.Rise()), 3.8, 0.05)
	check.Near(t, "external 0", float64(SystemNoise{NoiseFigureDB: 6}.Figure()), 6, 0.01)
	check.Near(t, "external below 0", float64(SystemNoise{ExternalDB: -4.6, NoiseFigureDB: 6}.Rise()), 0, 1e-12)
	// Counted at the receiver input, the feeder weakens the external noise:
	// 1 + (f_a - 1)/(l f_r), by hand for 8.16, 3 and 6 dB: 1 + 5.546/7.943.
	check.Near(t, "rise behind 3 dB of feeder",
		float64(SystemNoise{ExternalDB: 8.16, FeederLossDB: 3, NoiseFigureDB: 6}.Rise()), 2.300, 0.001)
}
