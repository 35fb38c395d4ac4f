package lora

import (
	"math"
	"strings"
	"testing"
)

// The exact steps: 500 kHz divided by 64 ... 1. The labels are those of the
// SX1276/77/78/79 datasheet Rev 4 (7.8 10.4 15.6 20.8 31.2 41.7) and of the
// SX1261/2 datasheet Rev 1.1 (7.810 10.420 15.630 20.830 31.250 41.670).
func TestParseBandwidthKHz(t *testing.T) {
	rows := []struct {
		exactHz float64
		labels  []float64
	}{
		{7812.5, []float64{7.8, 7.81, 7.810, 7.8125, 7.812, 7.813}},
		{500e3 / 48, []float64{10.4, 10.42, 10.41, 10.417, 10.416}},
		{15625, []float64{15.6, 15.63, 15.62, 15.625}},
		{500e3 / 24, []float64{20.8, 20.83, 20.833}},
		{31250, []float64{31.25, 31.2, 31.3}},
		{500e3 / 12, []float64{41.7, 41.67, 41.6, 41.667}},
		{62500, []float64{62.5}},
		{125000, []float64{125}},
		{250000, []float64{250}},
		{500000, []float64{500}},
	}
	steps := Bandwidths()
	if len(steps) != len(rows) {
		t.Fatalf("%d bandwidths, want %d", len(steps), len(rows))
	}
	for i, row := range rows {
		if steps[i] != row.exactHz {
			t.Errorf("Bandwidths()[%d] = %v, want %v", i, steps[i], row.exactHz)
		}
		for _, label := range row.labels {
			got, err := ParseBandwidthKHz(label)
			if err != nil || got != row.exactHz {
				t.Errorf("ParseBandwidthKHz(%v) = %v, %v, want %v", label, got, err, row.exactHz)
			}
		}
	}
}

func TestParseBandwidthKHzRefuses(t *testing.T) {
	for _, label := range []float64{0, -125, 8, 10, 12.5, 31, 42, 62, 63, 124.9, 125000, 1000, math.NaN(), math.Inf(1),
		math.Inf(-1)} {
		got, err := ParseBandwidthKHz(label)
		if err == nil {
			t.Errorf("ParseBandwidthKHz(%v) = %v, want an error", label, got)
			continue
		}
		if want := "7.8 10.4 15.6 20.8 31.25 41.7 62.5 125 250 500"; !strings.Contains(err.Error(), want) {
			t.Errorf("ParseBandwidthKHz(%v): %q does not list %q", label, err, want)
		}
	}
}
