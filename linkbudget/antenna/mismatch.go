package antenna

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// maxVSWR is where an antenna is as good as absent: 24 dB lost.
const maxVSWR = 1000

// MismatchLoss returns the power an antenna reflects, as a loss, for its
// voltage standing wave ratio s, 1 to 1000:
//
//	-10 log(1 - rho^2), rho = (s - 1)/(s + 1)
//
// Transmission line theory.
func MismatchLoss(vswr float64) (radio.DB, error) {
	if err := fault.Range("standing wave ratio", vswr, 1, maxVSWR, ""); err != nil {
		return 0, err
	}
	rho := (vswr - 1) / (vswr + 1)
	return radio.DB(-10 / math.Ln10 * math.Log1p(-rho*rho)), nil
}

// Bounds of the loss between crossed polarisations. Theory has no bound;
// measurements have, since ground, masts and leaves turn part of the wave: 15
// to 25 dB on clear paths, 6 to 12 dB on obstructed ones (from memory). These
// are the middle of each range.
const (
	CrossPolarLossClear      radio.DB = 20
	CrossPolarLossObstructed radio.DB = 9
)

// What an antenna beside a metal mast costs where nothing is known of mast,
// spacing and side: a loss and its standard deviation. Engineering judgement.
const (
	SideMountPenalty radio.DB = 2
	SideMountSigma   radio.DB = 2
)
