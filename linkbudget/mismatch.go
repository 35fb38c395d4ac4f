package linkbudget

import (
	"fmt"
	"math"
)

// maxVSWR is where an antenna is as good as absent: 24 dB lost.
const maxVSWR = 1000

// MismatchLoss returns the power an antenna reflects, as a loss, for its
// voltage standing wave ratio s, 1 to 1000:
//
//	-10 log(1 - rho^2), rho = (s - 1)/(s + 1)
//
// Transmission line theory.
func MismatchLoss(vswr float64) (DB, error) {
	if !(vswr >= 1 && vswr <= maxVSWR) {
		return 0, fmt.Errorf("standing wave ratio %v, allowed 1 to %d", vswr, maxVSWR)
	}
	rho := (vswr - 1) / (vswr + 1)
	return DB(-10 / math.Ln10 * math.Log1p(-rho*rho)), nil
}

// Bounds of the loss between crossed polarisations. Theory has no bound;
// measurements have, since ground, masts and leaves turn part of the wave: 15
// to 25 dB on clear paths, 6 to 12 dB on obstructed ones (from memory). These
// are the middle of each range.
const (
	CrossPolarLossClear      DB = 20
	CrossPolarLossObstructed DB = 9
)

// CircularPolarisationLoss is lost between linear and circular polarisation,
// half the power, at any angle: 10 log 2.
const CircularPolarisationLoss DB = 3.0103

// PolarisationLoss returns the loss -20 log|cos| between two linear
// polarisations at an angle in degrees, up to a bound, of which
// CrossPolarLossClear and CrossPolarLossObstructed are two. A finite angle and
// a bound of 0 to 100 dB are allowed.
func PolarisationLoss(angleDeg float64, bound DB) (DB, error) {
	if math.IsNaN(angleDeg) || math.IsInf(angleDeg, 0) || !(bound >= 0 && bound <= 100) {
		return 0, fmt.Errorf("polarisation loss at %v degrees with a bound of %v dB, allowed any finite angle and 0 to 100 dB", angleDeg, float64(bound))
	}
	// The angle repeats after 180 degrees; reducing it first keeps the cosine
	// of a large one exact.
	cos := math.Abs(math.Cos(math.Mod(angleDeg, 180) * math.Pi / 180))
	return min(DB(max(-20*math.Log10(cos), 0)), bound), nil
}
