package antenna

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// Defaults of [SectorPattern].
const (
	// DefaultSectorBeamwidthDeg and DefaultFrontToBack: 3GPP TR 36.942 §4.2.1.
	DefaultSectorBeamwidthDeg          = 65
	DefaultFrontToBack        radio.DB = 20
	// sectorSideLobeDB bounds the loss above and below the lobe: SLA_v of 3GPP
	// TR 36.814 table A.2.1.1-2 (from memory).
	sectorSideLobeDB = 20
)

// SectorPattern is a panel or yagi that radiates to one side. It is the parabola
// that system studies of mobile networks use (3GPP TR 36.942 §4.2.1 for the
// horizontal cut; TR 36.814 table A.2.1.1-2 for joining both cuts, from memory):
// right near the lobe, common practice rather than measured elsewhere.
type SectorPattern struct {
	PeakDBi              radio.DB
	BeamwidthDeg         float64  // horizontal half-power beamwidth; 0 means 65
	VerticalBeamwidthDeg float64  // 0 means SectorVerticalBeamwidthDeg
	FrontToBackDB        radio.DB // loss behind and everywhere far off the lobe; 0 means 20
}

// SectorVerticalBeamwidthDeg returns the vertical half-power beamwidth of a
// sector antenna of this gain and horizontal beamwidth, 31000 10^(-0.1 G0)/phi_3
// degrees, at most 180: ITU-R F.1336-5 recommends 3, for phi_3 up to about 120.
func SectorVerticalBeamwidthDeg(peak radio.DB, beamwidthDeg float64) float64 {
	return min(31000*math.Pow(10, -0.1*float64(peak))/beamwidthDeg, 180)
}

// Gain returns the gain in a direction offAzimuthDeg to the side of the lobe
// (any turn, folded to 180) and offElevationDeg above or below it:
//
//	G0 - min( min(12 (phi/phi_3)^2, A_m) + min(12 (theta/theta_3)^2, 20), A_m )
func (s SectorPattern) Gain(offAzimuthDeg, offElevationDeg float64) radio.DB {
	s = s.withDefaults()
	phi := math.Remainder(offAzimuthDeg, 360) / s.BeamwidthDeg
	theta := offElevationDeg / s.VerticalBeamwidthDeg
	across := min(12*phi*phi, float64(s.FrontToBackDB))
	along := min(12*theta*theta, sectorSideLobeDB)
	return s.PeakDBi - min(radio.DB(across+along), s.FrontToBackDB)
}

// withDefaults replaces each zero that stands for a default.
func (s SectorPattern) withDefaults() SectorPattern {
	if s.BeamwidthDeg == 0 {
		s.BeamwidthDeg = DefaultSectorBeamwidthDeg
	}
	if s.VerticalBeamwidthDeg == 0 {
		s.VerticalBeamwidthDeg = SectorVerticalBeamwidthDeg(s.PeakDBi, s.BeamwidthDeg)
	}
	if s.FrontToBackDB == 0 {
		s.FrontToBackDB = DefaultFrontToBack
	}
	return s
}
