package linkbudget

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// BestCase is what one station brings to a path when nothing stands in the way
// and both antennas look straight at each other. It costs no terrain, so it
// tells which of many pairs are not worth a profile.
type BestCase struct {
	// EIRPDBm is radiated in the main lobe.
	EIRPDBm DBm
	// NeedsDBm is the level an isotropic antenna in the same place must receive
	// for the modem to work: sensitivity less gain plus feed loss.
	NeedsDBm DBm
	// LostDB is lost at this end in both directions whatever lies between: hardware,
	// and what stands around the antenna, but a town, which costs less on shorter paths.
	LostDB DB
}

// BestCase returns the best case of a station; both must be valid.
func (s Station) BestCase(env Environment) BestCase {
	lost := s.HardwareDB
	if !s.inTown(&env) {
		lost += s.endLoss(0, &env).lossDB
	}
	lost -= env.Calibration.mostDB() / 2
	if env.TimePercent > 0 {
		lost -= max(0, mostFocusing(env.TimePercent)) / 2
	}
	return BestCase{
		LostDB:   lost,
		EIRPDBm:  s.PeakEIRP(env.FreqHz),
		NeedsDBm: s.noise(&env).floor().Add(env.Modem.RequiredSNR() + s.FeedLoss(env.FreqHz) - s.Antenna.PeakDBi),
	}
}

// ReachM returns the distance from antenna to antenna, m, beyond which the
// weaker direction between two stations falls short even through free space:
// ITU-R P.525-4 §2.3 solved for the distance. Evaluate never gives a margin
// above 0 to a longer path: its other terms only lose, but for focusing, which LostDB has.
func (a BestCase) ReachM(b BestCase, freqHz float64) float64 {
	loss := min(a.EIRPDBm.Sub(b.NeedsDBm), b.EIRPDBm.Sub(a.NeedsDBm))
	loss -= a.LostDB + b.LostDB
	return radio.WavelengthM(freqHz) / (4 * math.Pi) * math.Pow(10, float64(loss)/20)
}
