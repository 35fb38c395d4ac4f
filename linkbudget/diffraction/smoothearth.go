package diffraction

import "math"

// GroundFit is the straight line that follows a profile best, and how far the
// ground strays from it.
type GroundFit struct {
	// StartM and EndM are the heights of the line over the first and the last
	// point, m above the datum.
	StartM, EndM float64
	// SpreadM is the standard deviation of the ground about the line, m: the
	// roughness s_h of a reflecting surface.
	SpreadM float64
}

// FitGround fits a straight line to the ground by least squares. distM are
// rising distances, groundM heights above the datum, both in m and of equal
// length (other lengths panic); a part of a profile may be passed, the first
// distance need not be 0. Fewer than two points, or no length between them,
// give a level line through the first height.
//
// ITU-R P.1812-6 attachment 1 eq (83) to (86). The fit is an integral along
// the profile, straight between the points, so unequal spacing does not count
// some ground twice; the spread is the same integral of the squared rest.
func FitGround(distM, groundM []float64) GroundFit {
	if len(distM) != len(groundM) {
		panic("diffraction: FitGround with slices of different lengths")
	}
	n := len(distM)
	if n == 0 {
		return GroundFit{}
	}
	start, base := distM[0], groundM[0]
	lengthM := distM[n-1] - start
	if !(lengthM > 0) {
		return GroundFit{StartM: base, EndM: base}
	}
	// Heights are taken from the first one: on a plateau at 3000 m the sums
	// would otherwise cancel to a few digits.
	var v1, v2 float64
	for i := 1; i < n; i++ {
		d0, d := distM[i-1]-start, distM[i]-start
		h0, h := groundM[i-1]-base, groundM[i]-base
		v1 += (d - d0) * (h + h0)                   // eq (83)
		v2 += (d - d0) * (h*(2*d+d0) + h0*(d+2*d0)) // eq (84)
	}
	fit := GroundFit{
		StartM: (2*v1*lengthM-v2)/(lengthM*lengthM) + base, // eq (85)
		EndM:   (v2-v1*lengthM)/(lengthM*lengthM) + base,   // eq (86)
	}
	slope := (fit.EndM - fit.StartM) / lengthM
	var squares float64
	rest := base - fit.StartM
	for i := 1; i < n; i++ {
		next := groundM[i] - fit.StartM - slope*(distM[i]-start)
		squares += (distM[i] - distM[i-1]) * (rest*rest + rest*next + next*next)
		rest = next
	}
	fit.SpreadM = math.Sqrt(math.Max(0, squares/(3*lengthM)))
	return fit
}
