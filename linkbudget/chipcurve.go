package linkbudget

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// chipCurves are figures that the makers of radio chips publish over the offset
// from the carrier.
type chipCurves struct {
	what string // for errors
	of   []chipCurve
}

type chipCurve struct {
	chip   string
	points []offsetPoint // by rising offset
}

type offsetPoint struct {
	offsetHz float64
	db       DB
}

// phaseNoises is the noise of a transmitter beside its carrier, in decibels over the
// carrier per hertz, at 868 and 915 MHz: SX1261/2 datasheet Rev 1.1, table 3-7, and
// SX1276/77/78/79 datasheet Rev 4, table 9. A power amplifier behind the chip adds to it.
var phaseNoises = chipCurves{"phase noise", []chipCurve{
	{"SX1262", []offsetPoint{{100e3, -100}, {1e6, -120}, {10e6, -135}}},
	{"SX1276", []offsetPoint{{50e3, -103}, {400e3, -115}, {1e6, -122}}},
}}

// blockingRejections is how far over a packet at 3 dB over sensitivity, SF12 and
// 125 kHz, an unmodulated carrier may lie at 1 % lost packets: SX1276/77/78/79
// datasheet Rev 4, table 10, and SX1261/2 datasheet Rev 1.1, table 3-8.
var blockingRejections = chipCurves{"blocking", []chipCurve{
	{"SX1276", []offsetPoint{{1e6, 89}, {2e6, 94}, {10e6, 100}}},
	{"SX1262", []offsetPoint{{1e6, 88}, {2e6, 90}, {10e6, 99}}},
}}

// at returns the figure of a chip, whatever the case of the letters, at an offset in
// hertz to either side: straight over the logarithm of the offset between the points.
// Beyond the last one it stays; below the first there is no figure, an error.
func (c chipCurves) at(chip string, offsetHz float64) (DB, error) {
	var names []string
	for _, curve := range c.of {
		if strings.EqualFold(chip, curve.chip) {
			return curve.at(c.what, math.Abs(offsetHz))
		}
		names = append(names, curve.chip)
	}
	return 0, fault.Found("chip", strconv.Quote(chip), strings.Join(names, ", ")+", whose "+c.what+" is known")
}

func (c chipCurve) at(what string, offsetHz float64) (DB, error) {
	if !(offsetHz >= c.points[0].offsetHz && !math.IsInf(offsetHz, 1)) {
		return 0, fault.Found("offset", fmt.Sprintf("%v kHz", offsetHz/1e3), fmt.Sprintf("%v kHz and more for the %s of %s", c.points[0].offsetHz/1e3, what, c.chip))
	}
	for i, right := range c.points[1:] {
		if left := c.points[i]; offsetHz <= right.offsetHz {
			share := DB(math.Log(offsetHz/left.offsetHz) / math.Log(right.offsetHz/left.offsetHz))
			return left.db + share*(right.db-left.db), nil
		}
	}
	return c.points[len(c.points)-1].db, nil
}
