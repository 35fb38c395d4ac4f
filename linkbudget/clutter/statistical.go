package clutter

import (
	"errors"
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// Statistical is the loss through buildings at one end of a path in a
// town, where nothing is known of them but that they are there: ITU-R P.2108-1
// §3.2. It stands in place of [Terminal] at that end, never beside it.
// For a correction at both ends the Recommendation asks for 1 km or more.
type Statistical struct {
	DistM   float64 // path length, 250 m or more
	FreqHz  float64 // 0.5 to 67 GHz
	Percent float64 // of places where the loss is less, 0.001 to 99.999; 50 is the median
}

// clutterLevelsOffM is where the loss stops growing with distance.
const clutterLevelsOffM = 2000

// Validate lists every field out of the range of the Recommendation; that of
// Percent is ours, it says "between 0 and 100".
func (s Statistical) Validate() error {
	return errors.Join(
		fault.Range("statistical clutter: path", s.DistM, 250, math.MaxFloat64, "m"),
		fault.Range("statistical clutter: frequency", s.FreqHz, 0.5e9, 67e9, "Hz"),
		fault.Range("statistical clutter: places", s.Percent, 0.001, 99.999, "%"))
}

// Loss returns the loss that Percent of places stay below, or an error outside
// the range of Validate:
//
//	L_ctt = -5 log(10^(-0.2 L_l) + 10^(-0.2 L_s)) + sigma_cb Q(p)
//
// with Q the normal quantile, at most the value at 2 km. Where few places and a
// short path would give a gain, the result is 0: a departure from the text.
func (s Statistical) Loss() (radio.DB, error) {
	if err := s.Validate(); err != nil {
		return 0, err
	}
	z, err := radio.NormalQuantile(s.Percent / 100)
	if err != nil {
		return 0, err
	}
	loss := math.Inf(1)
	for _, distM := range []float64{s.DistM, clutterLevelsOffM} {
		median, spread := s.at(distM)
		loss = min(loss, median+spread*z)
	}
	return radio.DB(max(loss, 0)), nil
}

// Spread returns sigma_cb, the standard deviation from place to place, or an
// error outside the range of Validate. It lies between 4 and 6 dB.
func (s Statistical) Spread() (radio.DB, error) {
	if err := s.Validate(); err != nil {
		return 0, err
	}
	_, spread := s.at(min(s.DistM, clutterLevelsOffM))
	return radio.DB(spread), nil
}

// at returns median and standard deviation, dB. Two ways through a town, over
// it (l) and along its streets (s), share the power.
func (s Statistical) at(distM float64) (median, spread float64) {
	const sigmaL, sigmaS = 4, 6
	logGHz := math.Log10(s.FreqHz / 1e9)
	lossL := -2 * math.Log10(math.Pow(10, -5*logGHz-12.5)+math.Pow(10, -16.5))
	lossS := 32.98 + 23.9*math.Log10(distM/1e3) + 3*logGHz
	weightL, weightS := math.Pow(10, -0.2*lossL), math.Pow(10, -0.2*lossS)
	sum := weightL + weightS
	variance := (sigmaL*sigmaL*weightL + sigmaS*sigmaS*weightS) / sum
	return -5 * math.Log10(sum), math.Sqrt(variance)
}
