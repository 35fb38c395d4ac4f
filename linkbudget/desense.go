package linkbudget

import (
	"errors"
	"fmt"
	"math"

	"github.com/polereach/polereach/terrain/fault"
)

// NearbyTransmitter is another transmitter on the air beside a receiver: the
// second node of a site, the neighbour's gateway, not on the wanted channel itself.
type NearbyTransmitter struct {
	Chip     string  // "SX1262" or "SX1276", whose phase noise applies
	PowerDBm DBm     // at its antenna port, -50 to 60
	OffsetHz float64 // of its carrier from the wanted one, to either side

	// IsolationDB is the loss between both antenna ports, 0 to 200 dB, measured or
	// estimated. Left at 0, it is free space over DistanceM less GainDB.
	IsolationDB DB
	DistanceM   float64 // between the antennas, from 1 m
	FreqHz      float64 // 100 MHz to 3 GHz; asked for with DistanceM
	GainDB      DB      // of both antennas towards each other together, -100 to 60
}

// Isolation returns the loss between the antenna ports. Free space overstates
// it for antennas closer than a few wavelengths and understates it for antennas
// one above the other, which look past each other: state a measured one.
func (t NearbyTransmitter) Isolation() (DB, error) {
	if t.IsolationDB != 0 {
		if err := fault.Range("isolation", float64(t.IsolationDB), 0, 200, "dB"); err != nil {
			return 0, err
		}
		return t.IsolationDB, nil
	}
	if err := errors.Join(
		fault.Range("distance to the transmitter", t.DistanceM, 1, 1e6, "m, or state the isolation"),
		fault.Range("frequency", t.FreqHz/1e6, MinFreqHz/1e6, MaxFreqHz/1e6, "MHz"),
		fault.Range("gain of both antennas", float64(t.GainDB), -100, 60, "dB"),
	); err != nil {
		return 0, err
	}
	return max(0, FreeSpace(t.DistanceM, t.FreqHz)-t.GainDB), nil
}

// blockerLevel is the level of a blocker that costs 3 dB of sensitivity: sensitivity +
// 3 dB + blockingRejections. The rejection is published for SF12 at 125 kHz, and so is
// the sensitivity, about -137 dBm, to be given. The level holds for other settings too,
// for it is the receiver's own, not the packet's.
func blockerLevel(chip string, offsetHz float64, sensitivity DBm) (DBm, error) {
	rejection, err := blockingRejections.at(chip, offsetHz)
	return sensitivity.Add(3 + rejection), err
}

// DesensedReceiver is the receiver beside a NearbyTransmitter.
type DesensedReceiver struct {
	Chip          string  // "SX1262" or "SX1276"
	BWHz          float64 // of the wanted packet, 1 Hz to 100 MHz
	NoiseFigureDB DB      // with the noise from elsewhere, 0 to 100
}

// Desense is what a nearby transmitter does to a receiver while it sends.
type Desense struct {
	IsolationDB  DB
	LevelDBm     DBm // of the carrier at the receiver
	BlockerDBm   DBm // the level that would cost 3 dB by blocking
	NoiseDBm     DBm // its phase noise in the receiver's bandwidth
	PhaseNoiseDB DB  // sensitivity lost by phase noise
	BlockingDB   DB  // sensitivity lost by blocking
	RiseDB       DB  // sensitivity lost by both, the rise of the noise floor
}

// Desense returns the sensitivity lost. The phase noise falling into the
// bandwidth is P - A + L + 10 log BW. Blocking is counted as noise, equal to
// the floor at the level that costs 3 dB and going with the carrier; beyond
// some 10 dB over that level a real receiver is compressed and does worse.
func (t NearbyTransmitter) Desense(rx DesensedReceiver) (Desense, error) {
	isolation, err := t.Isolation()
	errs := []error{
		err,
		fault.Range("power", float64(t.PowerDBm), -50, 60, "dBm"),
		fault.Range("bandwidth", rx.BWHz, 1, 100e6, "Hz"),
		fault.Range("noise figure", float64(rx.NoiseFigureDB), 0, 100, "dB"),
	}
	density, err := phaseNoises.at(t.Chip, t.OffsetHz)
	errs = append(errs, err)
	// Blocking is measured where the chip is most sensitive; as a density over the
	// carrier it then serves any bandwidth and noise figure.
	measured := Modem{SF: 12, BWHz: 125e3, CR: 1}
	const measuredNoiseFigure = 6
	blocker, err := blockerLevel(rx.Chip, t.OffsetHz, measured.Sensitivity(measuredNoiseFigure))
	errs = append(errs, err)
	if err := errors.Join(errs...); err != nil {
		return Desense{}, fmt.Errorf("nearby transmitter: %w", err)
	}

	level := t.PowerDBm.Add(-isolation)
	perHz := DB(10 * math.Log10(rx.BWHz))
	blockingNoise := NoiseFloor(measured.BWHz, measuredNoiseFigure, 0).
		Add(level.Sub(blocker) + perHz - DB(10*math.Log10(measured.BWHz)))
	d := Desense{
		IsolationDB: isolation,
		LevelDBm:    level,
		BlockerDBm:  blocker,
		NoiseDBm:    level.Add(density + perHz),
	}
	floor := NoiseFloor(rx.BWHz, rx.NoiseFigureDB, 0)
	d.PhaseNoiseDB = Desensitisation(d.NoiseDBm.Sub(floor))
	d.BlockingDB = Desensitisation(blockingNoise.Sub(floor))
	d.RiseDB = Desensitisation(SumPower(d.NoiseDBm, blockingNoise).Sub(floor))
	return d, nil
}
