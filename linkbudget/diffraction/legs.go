package diffraction

import (
	"sort"

	"github.com/polereach/polereach/linkbudget/radio"
)

// LegsClear reports whether both legs of the way by the ground at atM from A leave 0.6 of
// their first Fresnel zones free, each tested like a path over the bare ground, but for
// skipM at its ends.
func (s *Sightline) LegsClear(atM, skipM float64) bool {
	last := len(s.DistM) - 1
	i := sort.SearchFloat64s(s.DistM, atM)
	if i < 1 || i >= last {
		return true // nothing lies between the point and an antenna
	}
	fromA := leg{s.DistM[:i+1], s.GroundM[:i+1], s.AHeightM, s.GroundM[i]}
	toB := leg{s.DistM[i:], s.GroundM[i:], s.GroundM[i], s.BHeightM}
	return fromA.clear(s, skipM) && toB.clear(s, skipM)
}

// leg is a part of a profile, the distances still counted from its beginning,
// and the heights above the datum between which the ray runs.
type leg struct {
	distM, groundM []float64
	fromM, toM     float64
}

// clear reports whether the ray passes all points farther than skipM from both
// ends with 0.6 first Fresnel radii or more, as Classify and Sightline.Worst say.
func (l leg) clear(sight *Sightline, skipM float64) bool {
	last := len(l.distM) - 1
	startM, lengthM := l.distM[0], l.distM[last]-l.distM[0]
	slope, curve := (l.toM-l.fromM)/lengthM, radio.HalfCurvature(sight.EffectiveRadiusM)
	skipM = beyondRounding(skipM)
	// c >= 0.6 sqrt(lambda d1 d2/d), both sides squared.
	perM2 := ClearFraction * ClearFraction * sight.WavelengthM / lengthM
	for i := 1; i < last; i++ {
		d1 := l.distM[i] - startM
		d2 := lengthM - d1
		if !(d1 > skipM && d2 > skipM) {
			continue
		}
		width := d1 * d2
		if c := l.fromM + slope*d1 - l.groundM[i] - width*curve; !(c >= 0 && c*c >= perM2*width) {
			return false
		}
	}
	return true
}
