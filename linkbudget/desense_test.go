package linkbudget

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

// SX1261/2 datasheet Rev 1.1, table 3-7, and SX1276/77/78/79 datasheet Rev 4,
// table 9; between the points straight over the logarithm (by hand: a third of
// a decade after 1 MHz is -120 - 15 log 2.15).
func TestPhaseNoise(t *testing.T) {
	for _, row := range []struct {
		chip     string
		offsetHz float64
		want     float64
	}{
		{"SX1262", 100e3, -100}, {"SX1262", 1e6, -120}, {"sx1262", -1e6, -120}, {"SX1262", 10e6, -135}, {"SX1262", 50e6, -135},
		{"SX1276", 50e3, -103}, {"SX1276", 400e3, -115}, {"SX1276", 1e6, -122}, {"SX1276", 10e6, -122},
		{"SX1262", 316228, -110}, {"SX1262", 2.15443e6, -125},
	} {
		got, err := phaseNoises.at(row.chip, row.offsetHz)
		if err != nil {
			t.Error(err)
		}
		check.Near(t, fmt.Sprintf("%s at %v Hz", row.chip, row.offsetHz), float64(got), row.want, 1e-4)
	}
	for _, offsetHz := range []float64{0, 99e3, math.NaN(), math.Inf(1)} {
		if _, err := phaseNoises.at("SX1262", offsetHz); err == nil {
			t.Errorf("%v Hz passed", offsetHz)
		}
	}
	if _, err := phaseNoises.at("SX9", 1e6); err == nil || !strings.Contains(err.Error(), "SX1262, SX1276") {
		t.Errorf("%v", err)
	}
}

// Blocker for 3 dB: -137 + 3 + 88, 90 and 99 (computed from SX1261/2 datasheet
// Rev 1.1, table 3-8).
func TestBlockerLevel(t *testing.T) {
	for offsetHz, want := range map[float64]float64{1e6: -46, -1e6: -46, 2e6: -44, 10e6: -35, 1e9: -35} {
		got, err := blockerLevel("SX1262", offsetHz, -137)
		if err != nil {
			t.Error(err)
		}
		check.Near(t, fmt.Sprintf("%v Hz", offsetHz), float64(got), want, 1e-9)
	}
	if got, err := blockerLevel("sx1276", 1e6, -136); err != nil || got != -44 {
		t.Errorf("SX1276: %v, %v", got, err)
	}
	for _, offsetHz := range []float64{0, 0.9e6, math.NaN(), math.Inf(-1)} {
		if _, err := blockerLevel("SX1262", offsetHz, -137); err == nil {
			t.Errorf("%v Hz passed", offsetHz)
		}
	}
	if _, err := blockerLevel("x", 1e6, -137); err == nil || !strings.Contains(err.Error(), "SX1276, SX1262") {
		t.Errorf("%v", err)
	}
}

// A co-sited +22 dBm transmitter behind 30 dB (computed): its phase noise is
// -77 dBm in 125 kHz at 1 MHz, 40.0 dB lost, and -92 dBm at 10 MHz, 25.0 dB
// lost; against blocking at 1 MHz it would need 68 dB.
func TestDesense(t *testing.T) {
	rx := DesensedReceiver{Chip: "SX1262", BWHz: 125e3, NoiseFigureDB: 6}
	for _, row := range []struct{ offsetHz, noise, lost, blocker float64 }{{1e6, -77.03, 40.0, -46}, {10e6, -92.03, 25.0, -35}} {
		tx := NearbyTransmitter{Chip: "SX1262", PowerDBm: 22, OffsetHz: row.offsetHz, IsolationDB: 30}
		d, err := tx.Desense(rx)
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprintf("%v Hz", row.offsetHz)
		check.Near(t, name+" level", float64(d.LevelDBm), -8, 1e-12)
		check.Near(t, name+" noise", float64(d.NoiseDBm), row.noise, 0.0051)
		check.Near(t, name+" lost by phase noise", float64(d.PhaseNoiseDB), row.lost, 0.051)
		// The datasheet's -137 dBm is -136.99 by the exact kT0 and 6 dB.
		check.Near(t, name+" blocker", float64(d.BlockerDBm), row.blocker, 0.03)
	}
	// At the isolation the blocker asks for, blocking costs 3 dB by definition.
	d, err := NearbyTransmitter{Chip: "SX1262", PowerDBm: 22, OffsetHz: 1e6, IsolationDB: 68}.Desense(rx)
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, "lost by blocking at 68 dB", float64(d.BlockingDB), 3.01, 0.03)
}

// Free space: 20 log(4 pi d/lambda), 31.2 dB at 1 m and 868 MHz (ITU-R P.525),
// less the gains.
func TestIsolation(t *testing.T) {
	for _, row := range []struct {
		tx   NearbyTransmitter
		want float64
	}{
		{NearbyTransmitter{DistanceM: 1, FreqHz: 868e6}, 31.22},
		{NearbyTransmitter{DistanceM: 10, FreqHz: 868e6, GainDB: 4.3}, 46.92},
		{NearbyTransmitter{DistanceM: 1, FreqHz: 868e6, GainDB: 50}, 0},
		{NearbyTransmitter{IsolationDB: 42, DistanceM: 1, FreqHz: 868e6}, 42},
	} {
		got, err := row.tx.Isolation()
		if err != nil {
			t.Error(err)
		}
		check.Near(t, fmt.Sprintf("%+v", row.tx), float64(got), row.want, 0.01)
	}
}

// More isolation, more offset or less power never costs more; both items and
// their sum agree; the total is at least the worse of the two.
func TestDesenseProperties(t *testing.T) {
	chips := rapid.SampledFrom([]string{"SX1262", "SX1276"})
	rapid.Check(t, func(t *rapid.T) {
		tx := NearbyTransmitter{
			Chip: chips.Draw(t, "chip"), PowerDBm: DBm(rapid.Float64Range(-50, 59).Draw(t, "power")),
			OffsetHz: rapid.Float64Range(1e6, 50e6).Draw(t, "offset"), IsolationDB: DB(rapid.Float64Range(0.1, 190).Draw(t, "isolation")),
		}
		rx := DesensedReceiver{chips.Draw(t, "receiver"), rapid.SampledFrom(Bandwidths()).Draw(t, "bw"), DB(rapid.Float64Range(0, 30).Draw(t, "nf"))}
		rise := func(tx NearbyTransmitter) DB {
			d, err := tx.Desense(rx)
			if err != nil {
				t.Fatal(err)
			}
			if !(d.RiseDB >= max(d.PhaseNoiseDB, d.BlockingDB)-1e-9 && d.RiseDB <= d.PhaseNoiseDB+d.BlockingDB+1e-9 && d.PhaseNoiseDB >= 0 && d.BlockingDB >= 0) {
				t.Fatalf("%+v", d)
			}
			return d.RiseDB
		}
		before := rise(tx)
		apart, further, stronger := tx, tx, tx
		apart.IsolationDB += 5
		further.OffsetHz *= 1.5
		stronger.PowerDBm++
		if a, f, s := rise(apart), rise(further), rise(stronger); !(a <= before+1e-9 && f <= before+1e-9 && s >= before-1e-9) {
			t.Fatalf("%v; 5 dB apart %v, further off %v, stronger %v", before, a, f, s)
		}
	})
}

func TestDesenseRefuses(t *testing.T) {
	nan := math.NaN()
	_, err := NearbyTransmitter{Chip: "x", PowerDBm: 99, DistanceM: nan, GainDB: DB(nan)}.Desense(DesensedReceiver{Chip: "y", BWHz: -1, NoiseFigureDB: -2})
	if err == nil {
		t.Fatal("passed")
	}
	for _, want := range []string{"distance to the transmitter: found NaN", "frequency: found 0", "gain of both antennas: found NaN", "power: found 99", "bandwidth: found -1", "noise figure: found -2", `chip: found "x"`, `chip: found "y"`, "whose phase noise is known"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q lacks %q", err, want)
		}
	}
	for _, isolation := range []DB{-1, 201, DB(nan)} {
		if _, err := (NearbyTransmitter{IsolationDB: isolation}).Isolation(); err == nil {
			t.Errorf("isolation %v passed", isolation)
		}
	}
	// Below 1 MHz off there is no blocking figure.
	if _, err := (NearbyTransmitter{Chip: "SX1262", OffsetHz: 200e3, IsolationDB: 30}).Desense(DesensedReceiver{"SX1262", 125e3, 6}); err == nil || !strings.Contains(err.Error(), "allowed 1000 kHz") {
		t.Errorf("%v", err)
	}
}
