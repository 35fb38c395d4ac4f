package antenna

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// Side-lobe constants k of [OmniPattern], ITU-R F.1336-5 recommends 2.3, 2.4.
const (
	TypicalSideLobes  = 0.7 // 400 MHz to 3 GHz
	ImprovedSideLobes = 0.0 // antennas built for low side-lobes
)

// OmniPattern is the vertical pattern of a collinear antenna that radiates
// evenly all round: the peak side-lobe envelope of ITU-R F.1336-5 recommends
// 2.1, 400 MHz to 70 GHz. A real one has nulls below the envelope, and often 1
// to 3 degrees of tilt nobody asked for.
type OmniPattern struct {
	PeakDBi      radio.DB // gain in the main lobe
	BeamwidthDeg float64  // between the half-power directions, from the data sheet; 0 means OmniBeamwidthDeg
	SideLobeK    float64  // TypicalSideLobes or ImprovedSideLobes, 0 to 1
}

// OmniBeamwidthDeg returns the vertical half-power beamwidth of an omni of this
// gain, theta_3 = 107.6 10^(-0.1 G0) degrees, at most 180: ITU-R F.1336-5
// recommends 2.1. Below some 3 dBi it is too narrow: 65.6 degrees at 2.15 dBi,
// where a half-wave dipole has 78.
func OmniBeamwidthDeg(peak radio.DB) float64 {
	return min(107.6*math.Pow(10, -0.1*float64(peak)), 180)
}

// Gain returns the gain in a direction this many degrees above or below the
// main lobe. With x = |theta|/theta_3 and theta_4 = theta_3 sqrt(1 - log(k+1)/1.2):
//
//	x < theta_4/theta_3:  G0 - 12 x^2
//	up to x = 1:          G0 - 12 + 10 log(k + 1)
//	beyond:               G0 - 12 + 10 log(x^-1.5 + k)
//
// With k = 0 the gain at 90 degrees is still finite.
func (o OmniPattern) Gain(offDeg float64) radio.DB {
	width := o.BeamwidthDeg
	if !(width > 0) {
		width = OmniBeamwidthDeg(o.PeakDBi)
	}
	x := math.Abs(offDeg) / width
	switch {
	case x < math.Sqrt(1-math.Log10(o.SideLobeK+1)/1.2):
		return o.PeakDBi - radio.DB(12*x*x)
	case x < 1:
		return o.PeakDBi - 12 + radio.DB(10*math.Log10(o.SideLobeK+1))
	default:
		return o.PeakDBi - 12 + radio.DB(10*math.Log10(math.Pow(x, -1.5)+o.SideLobeK))
	}
}
