package linkbudget

import (
	"fmt"
	"math"
	"testing"
)

func outputLimit(t *testing.T, chip, output string) OutputLimit {
	t.Helper()
	for _, o := range OutputLimits() {
		if o.Chip == chip && o.Output == output {
			return o
		}
	}
	t.Fatalf("no output %s of %s", output, chip)
	return OutputLimit{}
}

// SX1276/77/78/79 datasheet Rev 4, tables 9, 35, 36; SX1261/2 datasheet Rev
// 1.1, table 4-4; the last three from vendor product data, secondary.
func TestOutputLimits(t *testing.T) {
	for _, row := range []struct {
		chip, output string
		high         DBm
		share        float64
	}{
		{"SX1276", "RFO", 14, 1}, {"SX1276", "PA_BOOST", 17, 1}, {"SX1276", "PA_BOOST high power", 20, 0.01},
		{"SX1261", "14 dBm", 14, 1}, {"SX1262", "22 dBm", 22, 1},
		{"SX1268", "22 dBm", 22, 1}, {"LLCC68", "22 dBm", 22, 1}, {"LR1121", "22 dBm", 22, 1},
	} {
		o := outputLimit(t, row.chip, row.output)
		if o.HighDBm != row.high || o.TxShareMax != row.share || o.Source == "" || !(o.LowDBm <= o.HighDBm) {
			t.Errorf("%+v, want up to %v dBm for %v of the time", o, row.high, row.share)
		}
	}
	if low := outputLimit(t, "SX1276", "RFO").LowDBm; low != -1 {
		t.Errorf("SX1276 RFO from %v dBm, want -1", low)
	}
	if low := outputLimit(t, "SX1276", "PA_BOOST").LowDBm; low != 2 {
		t.Errorf("SX1276 PA_BOOST from %v dBm, want 2", low)
	}
}

// The SX1262 over its supply: SX1261/2 datasheet Rev 1.1, table 4-4; between
// the points by hand.
func TestHighAt(t *testing.T) {
	o := outputLimit(t, "SX1262", "22 dBm")
	for voltageV, want := range map[float64]float64{3.7: 22, 3.3: 22, 3.1: 22, 2.9: 21, 2.7: 20, 2.25: 18, 1.8: 16} {
		got, err := o.HighAt(voltageV)
		if err != nil {
			t.Error(err)
		}
		radioWithin(t, fmt.Sprintf("%v V", voltageV), float64(got), want, 1e-9)
	}
	for _, voltageV := range []float64{1.7, 3.8, 0, -1, math.NaN(), math.Inf(1)} {
		if got, err := o.HighAt(voltageV); err == nil || got != 0 {
			t.Errorf("%v V: %v, %v", voltageV, got, err)
		}
	}
	unstated := outputLimit(t, "SX1276", "PA_BOOST")
	if got, err := unstated.HighAt(3.3); err != nil || got != 17 {
		t.Errorf("%v, %v", got, err)
	}
	if _, err := unstated.HighAt(math.NaN()); err == nil {
		t.Error("NaN V passed")
	}
}

func TestOutputLimitCheck(t *testing.T) {
	o := outputLimit(t, "SX1276", "PA_BOOST high power")
	if err := o.Check(20, 0.01); err != nil {
		t.Error(err)
	}
	for _, row := range []struct {
		power DBm
		share float64
	}{{20, 0.011}, {21, 0.01}, {18, 0}, {DBm(math.NaN()), 0}, {20, math.NaN()}, {20, -1}} {
		if o.Check(row.power, row.share) == nil {
			t.Errorf("%+v passed", row)
		}
	}
}
