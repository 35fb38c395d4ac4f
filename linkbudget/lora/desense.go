package lora

import (
	"errors"
	"math"
	"slices"

	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// NearbyTransmitter is another transmitter on the air beside a receiver: the
// second node of a site, the neighbour's gateway, not on the wanted channel itself.
// Both radios are taken for an SX1262.
type NearbyTransmitter struct {
	PowerDBm radio.DBm // at its antenna port, -50 to 60
	OffsetHz float64   // of its carrier from the wanted one, to either side, 1 to 100 MHz
	// IsolationDB is the loss between both antenna ports, above 0 to 200 dB, measured or
	// estimated. Free space overstates it for antennas closer than a few wavelengths and
	// understates it for antennas one above the other, which look past each other.
	IsolationDB radio.DB
}

// offsetCurve is a figure of a chip over the offset from the carrier, by rising offset.
type offsetCurve []struct {
	offsetHz float64
	db       radio.DB
}

// phaseNoise is the noise of a transmitter beside its carrier, in decibels over the
// carrier per hertz, at 868 and 915 MHz: SX1261/2 datasheet Rev 1.1, table 3-7. A power
// amplifier behind the chip adds to it.
var phaseNoise = offsetCurve{{100e3, -100}, {1e6, -120}, {10e6, -135}}

// blockingRejection is how far over a packet at 3 dB over sensitivity, SF12 and
// 125 kHz, an unmodulated carrier may lie at 1 % lost packets: SX1261/2 datasheet
// Rev 1.1, table 3-8.
var blockingRejection = offsetCurve{{1e6, 88}, {2e6, 90}, {10e6, 99}}

// at is straight over the logarithm of the offset between the points, and stays beyond
// the last one.
func (c offsetCurve) at(offsetHz float64) radio.DB {
	for i, right := range c[1:] {
		if left := c[i]; offsetHz <= right.offsetHz {
			share := radio.DB(math.Log(offsetHz/left.offsetHz) / math.Log(right.offsetHz/left.offsetHz))
			return left.db + share*(right.db-left.db)
		}
	}
	return c[len(c)-1].db
}

var nearbyNumbers = []fault.Number[NearbyTransmitter]{
	{Key: "nearby_tx_dbm", Limits: fault.Limits{Min: -50, Max: 60, Unit: "dBm"}, At: func(t *NearbyTransmitter) *float64 { return (*float64)(&t.PowerDBm) }},
	{Key: "nearby_offset_mhz", Limits: fault.Limits{Min: blockingRejection[0].offsetHz / 1e6, Max: 100, Unit: "MHz"},
		At: func(t *NearbyTransmitter) *float64 { mhz := math.Abs(t.OffsetHz) / 1e6; return &mhz }},
	{Key: "nearby_isolation_db", Limits: fault.Limits{Max: 200, Unit: "dB", Above: true}, At: func(t *NearbyTransmitter) *float64 { return (*float64)(&t.IsolationDB) }},
}

// NearbyNumbers lists the numbers of a NearbyTransmitter with their ranges, by their keys
// in files; the offset, in MHz, is a copy.
func NearbyNumbers() []fault.Number[NearbyTransmitter] { return slices.Clone(nearbyNumbers) }

// Validate lists every field out of its range.
func (t NearbyTransmitter) Validate() error { return errors.Join(fault.Numbers(nearbyNumbers, &t)...) }

// Rise is the sensitivity that a receiver loses while the transmitter sends, in a
// bandwidth and with a noise figure that holds all other noise, and its two parts: phase
// noise and blocking.
//
// The phase noise falling into the bandwidth is P - A + L + 10 log BW. Blocking is counted
// as noise, equal to the floor at the level that costs 3 dB and going with the carrier;
// beyond some 10 dB over that level a real receiver is compressed and does worse. It is
// measured where the chip is most sensitive; as a density over the carrier it then serves
// any bandwidth and noise figure.
func (t NearbyTransmitter) Rise(bwHz float64, noiseFigure radio.DB) (both, phase, blocking radio.DB) {
	const measuredHz, measuredNoiseFigure = 125e3, 6
	offsetHz := math.Abs(t.OffsetHz)
	sensitivity := Modem{SF: 12, BWHz: measuredHz, CR: 1}.Sensitivity(measuredNoiseFigure)
	blocker := sensitivity.Add(3 + blockingRejection.at(offsetHz)) // costs 3 dB
	level := t.PowerDBm.Add(-t.IsolationDB)
	perHz := radio.DB(10 * math.Log10(bwHz))
	phaseDBm := level.Add(phaseNoise.at(offsetHz) + perHz)
	blockingDBm := NoiseFloor(measuredHz, measuredNoiseFigure, 0).
		Add(level.Sub(blocker) + perHz - radio.DB(10*math.Log10(measuredHz)))
	floor := NoiseFloor(bwHz, noiseFigure, 0)
	over := func(noise radio.DBm) radio.DB { return Desensitisation(noise.Sub(floor)) }
	return over(radio.SumPower(phaseDBm, blockingDBm)), over(phaseDBm), over(blockingDBm)
}
