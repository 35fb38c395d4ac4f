package lora

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

// SX1261/2 datasheet Rev 1.1, table 3-7; between the points straight over the logarithm
// (by hand: a third of a decade after 1 MHz is -120 - 15 log 2.15).
func TestPhaseNoise(t *testing.T) {
	for offsetHz, want := range map[float64]float64{100e3: -100, 1e6: -120, 10e6: -135, 50e6: -135, 316228: -110,
		2.15443e6: -125} {
		check.Near(t, fmt.Sprintf("%v Hz", offsetHz), float64(phaseNoise.at(offsetHz)), want, 1e-4)
	}
}

// A co-sited +22 dBm transmitter behind 30 dB (computed): its phase noise is
// -77 dBm in 125 kHz at 1 MHz, 40.0 dB lost, and -92 dBm at 10 MHz, 25.0 dB
// lost; against blocking at 1 MHz it would need 68 dB.
func TestDesense(t *testing.T) {
	for offsetHz, want := range map[float64]float64{1e6: 40.0, 10e6: 25.0, -10e6: 25.0} {
		_, phase, _ := NearbyTransmitter{PowerDBm: 22, OffsetHz: offsetHz, IsolationDB: 30}.Rise(125e3, 6)
		check.Near(t, fmt.Sprintf("%v Hz, lost by phase noise", offsetHz), float64(phase), want, 0.051)
	}
	// Blocker for 3 dB, computed from SX1261/2 datasheet Rev 1.1, table 3-8: -137 + 3 + 88,
	// 90 and 99 dBm. At the isolation it asks for, blocking costs 3 dB by definition.
	for offsetHz, isolation := range map[float64]radio.DB{1e6: 68, 2e6: 66, 10e6: 57, 1e9: 57} {
		_, _, blocking := NearbyTransmitter{PowerDBm: 22, OffsetHz: offsetHz, IsolationDB: isolation}.Rise(125e3, 6)
		check.Near(t, fmt.Sprintf("%v Hz, lost by blocking at %v dB", offsetHz, isolation), float64(blocking), 3.01, 0.03)
	}
}

// More isolation, more offset or less power never costs more; both items and
// their sum agree; the total is at least the worse of the two.
func TestDesenseProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tx := NearbyTransmitter{
			PowerDBm:    radio.DBm(rapid.Float64Range(-50, 59).Draw(t, "power")),
			OffsetHz:    rapid.Float64Range(1e6, 50e6).Draw(t, "offset"),
			IsolationDB: radio.DB(rapid.Float64Range(0.1, 190).Draw(t, "isolation")),
		}
		bwHz, figure := rapid.SampledFrom(Bandwidths()).Draw(t, "bw"), radio.DB(rapid.Float64Range(0, 30).Draw(t, "nf"))
		rise := func(tx NearbyTransmitter) radio.DB {
			both, phase, blocking := tx.Rise(bwHz, figure)
			if !(both >= max(phase, blocking)-1e-9 && both <= phase+blocking+1e-9 && phase >= 0 && blocking >= 0) {
				t.Fatalf("%v of %v and %v", both, phase, blocking)
			}
			return both
		}
		before := rise(tx)
		apart, further, stronger := tx, tx, tx
		apart.IsolationDB += 5
		further.OffsetHz *= 1.5
		stronger.PowerDBm++
		if a, f, s := rise(apart), rise(further), rise(stronger); !(a <= before+1e-9 && f <= before+1e-9 &&
			s >= before-1e-9) {
			t.Fatalf("%v; 5 dB apart %v, further off %v, stronger %v", before, a, f, s)
		}
	})
}

func TestNearbyTransmitterRefuses(t *testing.T) {
	nan := math.NaN()
	for _, tx := range []NearbyTransmitter{{99, 200e3, 0}, {-51, nan, 201}, {radio.DBm(nan), math.Inf(1), radio.DB(nan)}} {
		err := tx.Validate()
		for _, want := range []string{"nearby_tx_dbm: found", "nearby_offset_mhz: found", "nearby_isolation_db: found"} {
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%+v: %v lacks %q", tx, err, want)
			}
		}
	}
	if err := (NearbyTransmitter{22, -1e6, 0.1}).Validate(); err != nil {
		t.Error(err)
	}
}
