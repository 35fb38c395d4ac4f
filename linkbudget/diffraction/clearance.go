package diffraction

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// Sightline is the straight line between two antennas over a profile of the
// ground, drawn on the effective earth. Its methods panic over slices of different lengths
// and over fewer than two points.
type Sightline struct {
	// DistM are the distances of the points from antenna A, m, rising from 0
	// to the length of the path.
	DistM []float64
	// GroundM are the heights of the ground above the datum, m; ClutterM are
	// the heights of what stands on it, m, and may be nil. Both are as long
	// as DistM: other lengths are a mistake of the caller and panic.
	GroundM, ClutterM []float64
	// AHeightM and BHeightM are the heights of the antennas above the datum, m.
	AHeightM, BHeightM float64
	// EffectiveRadiusM is the effective earth radius, m; 0 means k = 4/3,
	// +Inf a flat earth.
	EffectiveRadiusM float64
	// WavelengthM is the wavelength, m, above 0.
	WavelengthM float64
}

// Clearance is how far the line of sight passes over one point of the profile.
type Clearance struct {
	// Index is the place of the point in the profile; AtM its distance from A.
	Index int
	AtM   float64
	// GroundM is the height of the ground and its clutter above the datum,
	// BulgeM the rise of the earth above the chord, LineM the height of the
	// line of sight above the datum; m.
	GroundM, BulgeM, LineM float64
	// RadiusM is the radius of the first Fresnel zone, m.
	RadiusM float64
	// ClearanceM is LineM - GroundM - BulgeM: negative where ground cuts the line.
	ClearanceM float64
	// Fraction is ClearanceM in first Fresnel radii. At the two ends, where
	// the zone has no width and a fraction no meaning, it is 0.
	Fraction float64
}

// At returns the clearance at point i of the profile.
func (s Sightline) At(i int) (c Clearance) {
	s.at(&c, i)
	return c
}

// at is At without copies.
func (s *Sightline) at(c *Clearance, i int) {
	ch := s.chord()
	d1 := s.DistM[i]
	d2 := ch.lengthM - d1
	groundM, bulgeM, lineM := s.surfaceM(i), d1*d2*ch.halfCurvature, s.AHeightM+ch.slope*d1
	c.Index, c.AtM, c.GroundM, c.BulgeM, c.LineM = i, d1, groundM, bulgeM, lineM
	c.ClearanceM, c.Fraction = lineM-groundM-bulgeM, 0
	c.RadiusM = radio.FresnelZone{D1M: d1, D2M: d2, WavelengthM: s.WavelengthM}.RadiusM()
	if c.RadiusM > 0 {
		c.Fraction = c.ClearanceM / c.RadiusM
	}
}

// Worst returns the point with the smallest Fraction among the inner points
// farther than skipM from both ends, and false when there is none.
//
// Near an antenna the first zone shrinks to nothing, so the point beside the
// antenna would always be the worst; take skipM as one cell of the terrain
// model, at least 50 m (engineering judgement). Diffraction must not skip.
func (s Sightline) Worst(skipM float64) (Clearance, bool) {
	ch := s.chord()
	lengthM, slope, curve, aM := ch.lengthM, ch.slope, ch.halfCurvature, s.AHeightM
	from, to := s.inner(skipM)
	dist, ground, clutter := s.DistM[:to], s.GroundM[:to], s.ClutterM
	best, bestSquare, bestWidth := -1, 0.0, 1.0
	for i := from; i < len(dist); i++ {
		d1, h := dist[i], ground[i]
		if i < len(clutter) {
			h += clutter[i]
		}
		// The fraction is c/sqrt(lambda d1 d2/d). Its signed square orders
		// the points the same way, and two squares are compared crosswise:
		// no root and no division per point.
		width := d1 * (lengthM - d1)
		c := aM + slope*d1 - h - width*curve
		square := c * math.Abs(c)
		if best < 0 || square*bestWidth < bestSquare*width {
			best, bestSquare, bestWidth = i, square, width
		}
	}
	if best < 0 {
		return Clearance{}, false
	}
	return s.At(best), true
}

// chord is the straight line between the antennas, prepared once per path.
type chord struct {
	lengthM       float64
	slope         float64 // of the line of sight
	halfCurvature float64 // 1/(2 ae)
}

func (s *Sightline) chord() chord {
	n := len(s.DistM)
	if len(s.GroundM) != n || (s.ClutterM != nil && len(s.ClutterM) != n) {
		panic("diffraction: Sightline with slices of different lengths")
	}
	ch := chord{halfCurvature: radio.HalfCurvature(s.EffectiveRadiusM)}
	if n > 0 {
		ch.lengthM = s.DistM[n-1]
	}
	if ch.lengthM > 0 {
		ch.slope = (s.BHeightM - s.AHeightM) / ch.lengthM
	}
	return ch
}

// inner returns the range of points farther than skipM from both ends, by more
// than rounding; the two ends themselves never belong to it.
func (s *Sightline) inner(skipM float64) (from, to int) {
	n := len(s.DistM)
	if n < 3 {
		return 0, 0
	}
	skipM = beyondRounding(skipM)
	lengthM := s.DistM[n-1]
	from, to = 1, n-1
	for from < to && !(s.DistM[from] > skipM) {
		from++
	}
	for to > from && !(lengthM-s.DistM[to-1] > skipM) {
		to--
	}
	return from, to
}

// beyondRounding is what a distance must surpass to be farther than skipM whatever
// rounding made of it.
func beyondRounding(skipM float64) float64 { return math.Max(skipM, 0) * (1 + 1e-9) }

func (s *Sightline) surfaceM(i int) float64 {
	if s.ClutterM == nil {
		return s.GroundM[i]
	}
	return s.GroundM[i] + s.ClutterM[i]
}
