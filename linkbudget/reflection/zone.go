package reflection

import "math"

// ZoneM returns where on the ground the reflection comes from: the distances
// from A, m, between which a way over the ground is less than half a wavelength
// longer than the mirror way.
//
// The bounds solve A x^2 - (A d + h1^2 - h2^2) x + h1^2 d = 0 with
// A = lambda + (h1+h2)^2/d, derived with path lengths to second order, so for
// heights small against the distance. For low antennas the zone is most of the
// path: all of it must be open, flat and in sight of both ends before a
// reflection counts.
func (t TwoRay) ZoneM() (fromM, toM float64) {
	d, h1, h2 := t.DistM, t.AHeightM, t.BHeightM
	a := t.WavelengthM + (h1+h2)*(h1+h2)/d
	b := a*d + h1*h1 - h2*h2
	// The mirror point lies inside, so the roots are real; rounding must not
	// make them otherwise. The small root by the product of both keeps digits.
	root := math.Sqrt(math.Max(0, b*b-4*a*h1*h1*d))
	toM = (b + root) / (2 * a)
	fromM = h1 * h1 * d / (a * toM)
	return math.Max(0, fromM), math.Min(d, toM)
}
