package linkbudget

import (
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/antenna"
)

// Direction is the budget one way, transmitter to receiver.
type Direction struct {
	From, To string
	// TxDBm is the transmitter's output.
	TxDBm DBm
	// Items add up from the transmitter's level to RxDBm; losses are negative here.
	Items []Term
	Level
	// PeakEIRPDBm is radiated in the main lobe.
	PeakEIRPDBm DBm
	// NoiseDBm is the noise at the receiver in the modem's bandwidth; the terms
	// of Noise add up to it from ThermalDBm, kT0B.
	ThermalDBm DBm
	Noise      []Term
	NoiseDBm   DBm
}

// ends is what both directions share: where each antenna looks at the other.
type ends struct {
	a, b         *PreparedStation
	gainA, gainB DB // towards the other end
	crossDB      DB
	calibrated   Calibrated
	lossDB       DB
	env          *Environment
}

// find makes e the ends of a path: the gain of each antenna towards the other one: azimuth of
// the path and elevation of the refracted ray, also behind an obstacle: the horizon is
// within a degree of it on nearly every path.
func (e *ends) find(f *Brief, a, b *PreparedStation, env *Environment, places []orb.Point) {
	e.a, e.b, e.env, e.lossDB, e.crossDB = a, b, env, f.LossDB, 0
	e.gainA = a.station.Antenna.Towards(f.AzimuthDeg, f.ElevationDeg)
	e.gainB = b.station.Antenna.Towards(f.BackAzimuthDeg, f.BackElevationDeg)
	e.calibrated = env.Calibration.between(a.station, b.station, places)
	if a.station.Polarisation != b.station.Polarisation {
		e.crossDB = crossPolarLoss(f.DiffractionDB)
	}
}

// level sums one way without its items, in their order; more is what a calibration adds.
func (e *ends) level(l *Level, tx, rx *PreparedStation, gainTx, gainRx, more DB) {
	l.EIRPDBm = tx.outDBm.Add(gainTx - tx.station.Antenna.PeakDBi).Add(tx.mast)
	l.RxDBm = rx.receives(l.EIRPDBm.Add(tx.hardware).Add(-e.lossDB).Add(-e.crossDB), gainRx).Add(more)
	l.SensitivityDBm = rx.needsDBm
	l.SNRDB = l.RxDBm.Sub(rx.floorDBm)
	l.MarginDB = l.RxDBm.Sub(rx.needsDBm)
}

// crossPolarLoss is what crossed antennas lose on a path with this diffraction
// loss: each decibel that the edge takes off the direct wave counts once less, as
// scattered waves do not go over it, down to the middle of the range for obstructed
// paths. Engineering judgement.
func crossPolarLoss(diffraction DB) DB {
	return max(antenna.CrossPolarLossClear-diffraction, antenna.CrossPolarLossObstructed)
}

// hardwareSource says where the loss of a real node against its data sheets comes from.
const hardwareSource = "as stated, else 3 dB: open measurements of others, in the mean"

// direction lists what level has summed, one way.
func (e *ends) direction(l *Level, items, noise []Term, tx, rx *PreparedStation, gainTx, gainRx, more DB) Direction {
	add := func(end, name string, change DB, source string) {
		if change != 0 {
			items = append(items, Term{end + name, change, source})
		}
	}
	end := func(name string, s *PreparedStation, gain DB) {
		antenna := &s.station.Antenna
		add(name, " feed loss", s.feeds[0], "as given")
		add(name, " cable", s.feeds[1], s.station.Feeder.Coax.Source)
		add(name, " mismatch", s.feeds[2], "transmission line theory")
		add(name, " antenna gain", antenna.PeakDBi, "as given")
		add(name, " antenna off its peak", gain-antenna.PeakDBi, "ITU-R F.1336-5 §2.1, or the half-wave dipole")
		add(name, " beside its mast", s.mast, "engineering judgement")
	}
	end("transmitter", tx, gainTx)
	add("transmitter", " hardware", tx.hardware, hardwareSource)
	add("path loss", "", -e.lossDB, "sum of terms")
	add("crossed polarisation", "", -e.crossDB, "from memory of measurements")
	end("receiver", rx, gainRx)
	add("receiver", " hardware", rx.hardware, hardwareSource)
	add(calibratedItem, "", more, "calibration")
	floor := rx.station.noise(e.env)
	return Direction{
		From: tx.station.Name, To: rx.station.Name, TxDBm: tx.station.TxDBm, Items: items,
		Level: *l, PeakEIRPDBm: tx.station.PeakEIRP(e.env.FreqHz),
		ThermalDBm: floor.thermal, Noise: floor.terms(noise), NoiseDBm: rx.floorDBm,
	}
}
