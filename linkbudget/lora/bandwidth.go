package lora

import (
	"math"
	"strconv"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// widestBandwidthHz is the bandwidth all ten steps are divisions of.
const widestBandwidthHz = 500e3

// bandwidthDivisors are the ten divisions of 500 kHz, narrowest first. They
// are whole numbers, so a symbol lasts a whole number of microseconds:
// 2^SF/BW = 2^SF * divisor * 2 us. Semtech SX1276/77/78/79 datasheet Rev 4,
// table 13, and SX1261/2 datasheet Rev 1.1, table 6-2, print them rounded.
var bandwidthDivisors = [...]int64{64, 48, 32, 24, 16, 12, 8, 4, 2, 1}

// Bandwidths returns the ten exact LoRa bandwidths in hertz, narrowest first:
// 7812.5, 10416.667, 15625, 20833.333, 31250, 41666.667, 62500, 125000,
// 250000 and 500000. Not every chip offers every one of them.
func Bandwidths() []float64 {
	hz := make([]float64, len(bandwidthDivisors))
	for i, d := range bandwidthDivisors {
		hz[i] = widestBandwidthHz / float64(d)
	}
	return hz
}

// ParseBandwidthKHz returns the exact bandwidth in hertz that a label in
// kilohertz stands for. A label is the exact value, or that value rounded or
// cut off after one, two or three decimals: 7.8, 7.81 and 7.8125 are one
// bandwidth, 31.2 and 31.25 another. Anything else is an error that lists the
// labels allowed; 12.5 is not taken for the nearest step.
func ParseBandwidthKHz(label float64) (hz float64, err error) {
	const sameKHz = 1e-9 // absorbs binary rounding of a decimal label
	for _, d := range bandwidthDivisors {
		exactKHz := widestBandwidthHz / 1e3 / float64(d)
		if math.Abs(label-exactKHz) <= sameKHz {
			return widestBandwidthHz / float64(d), nil
		}
		for _, scale := range [...]float64{10, 100, 1000} {
			if math.Abs(label-math.Round(exactKHz*scale)/scale) <= sameKHz ||
				math.Abs(label-math.Floor(exactKHz*scale)/scale) <= sameKHz {
				return widestBandwidthHz / float64(d), nil
			}
		}
	}
	return 0, fault.Found("bw_khz", label, bandwidthLabels()+" kHz")
}

// bandwidthDivisor returns by how much 500 kHz is divided to give hz. It
// accepts one part in a million of rounding, so that 10416.667 Hz passes.
func bandwidthDivisor(hz float64) (divisor int64, ok bool) {
	for _, d := range bandwidthDivisors {
		if math.Abs(hz*float64(d)/widestBandwidthHz-1) <= 1e-6 {
			return d, true
		}
	}
	return 0, false
}

// BandwidthLabelKHz returns the usual label of an exact bandwidth: 7.8 for
// 7812.5 Hz, 31.25 for 31250 Hz.
func BandwidthLabelKHz(hz float64) float64 {
	if kHz := hz / 1e3; kHz == 31.25 { // the one label that is printed with two decimals
		return kHz
	}
	return math.Round(hz/100) / 10
}

// bandwidthLabels lists the usual labels in kilohertz, for error texts.
func bandwidthLabels() string {
	var labels []string
	for _, hz := range Bandwidths() {
		labels = append(labels, strconv.FormatFloat(BandwidthLabelKHz(hz), 'f', -1, 64))
	}
	return strings.Join(labels, " ")
}
