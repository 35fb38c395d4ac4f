package diffraction

import (
	"math"
	"sort"

	"github.com/polereach/polereach/linkbudget/radio"
)

// noEdgeNu is the ν reported for a profile without any inner point: far below
// any loss, and finite so that it can be written as JSON.
const noEdgeNu = -1e6

// The Bullington construction replaces all terrain by one knife edge: where the
// horizon ray of A meets that of B, or, in line of sight, at the point of
// largest ν. ITU-R P.526-15 §4.5.1, P.1812-6 §4.3.1 (eq 12-21).
//
// Heights are measured from the direct ray: with x, y the distances to A and B, d = x+y,
// and q the height of a point (bulge included) above the ray,
//
//	S_tim - S_tr = max q/x = a     S_rim + S_tr = max q/y = b
//	case 1 (line of sight)  <=>  all q < 0,  ν = max q sqrt(2d/(λxy))
//	case 2                  d_bp = d b/(a+b),  ν = sqrt(2d ab/λ)
//
// as eq 18-19 have it. q = 0 gives ν = 0 in both cases.
type bullingtonPoint struct {
	nu          float64
	atM         float64 // distance from A; 0: no inner point, no edge
	lineOfSight bool
}

// bullingtonLoss returns the loss of the whole construction from ν of its edge.
// P.1812-6 eq 21: one edge never stands alone, hence the empirical second term.
func bullingtonLoss(nu, distM float64) radio.DB {
	uc := float64(KnifeEdge(nu))
	if uc == 0 {
		return 0
	}
	return radio.DB(uc + (1-math.Exp(-uc/6))*(10+0.02e-3*distM))
}

// slopeOf is a height over a distance, kept as a fraction so that slopes can be
// compared by cross multiplication, without a division.
type slopeOf struct{ num, den float64 }

func (s slopeOf) value() float64 { return s.num / s.den }

// horizons collects the largest slopes q/x and q/y and the smallest q²/(xy).
type horizons struct {
	blocked      bool    // some q >= 0
	a, b         slopeOf // max q/x and max q/y, valid if blocked
	qq, qqXY, qX float64 // min q²/(xy) and its x, valid if not blocked
}

// point turns the maxima into the edge. distM is the length of the path.
func (h *horizons) point(distM, wavelengthM float64) bullingtonPoint {
	if !h.blocked {
		if h.qqXY == 0 { // no inner point at all
			return bullingtonPoint{nu: noEdgeNu, lineOfSight: true}
		}
		nu := 0 - math.Sqrt(2*distM*h.qq/(wavelengthM*h.qqXY)) // 0 - x: no negative zero
		return bullingtonPoint{nu: nu, atM: h.qX, lineOfSight: true}
	}
	a, b := h.a.value(), h.b.value()
	// A's horizon is never beyond B's, and the rays meet between the two. The
	// limits guard against rounding: d_bp must not become 0 or d. Where a point
	// just touches the ray, a+b = 0, that point is the edge.
	from, to := h.a.den, distM-h.b.den
	at := from
	if a+b > 0 {
		at = max(min(distM*b/(a+b), to), from)
	}
	return bullingtonPoint{nu: math.Sqrt(2 * distM * a * b / wavelengthM), atM: at}
}

// smoothBullington returns ν of the construction over a bare smooth earth
// (all g_i = 0, P.1812-6 §4.3.4) between antennas hAM and hBM above it, at the
// same distances as the real profile.
//
// Here q = xy/(2a) - (hA y + hB x)/d is a smooth function of x with a single
// maximum of each quantity we need: q/x at x = sqrt(2a hA), q/y at
// y = sqrt(2a hB), and q/sqrt(xy) where its derivative, which has the sign of
// (y-x)xy/(2a) + hA y - hB x, changes from plus to minus. Of the points only the two
// beside such a place can hold the maximum.
func smoothBullington(distM []float64, hAM, hBM, radiusM, wavelengthM float64) bullingtonPoint {
	last := len(distM) - 1
	d := distM[last]
	if last < 2 {
		return bullingtonPoint{nu: noEdgeNu, lineOfSight: true}
	}
	curve, perM := 1/(2*radiusM), 1/d
	height := func(x float64) float64 { y := d - x; return curve*x*y - (hAM*y+hBM*x)*perM }
	// The larger of q/f at the two inner points beside an index.
	beside := func(i int, f func(x float64) float64) (q, x float64) {
		x = distM[min(max(i, 1), last-1)]
		before := distM[min(max(i-1, 1), last-1)]
		q = height(x)
		if qBefore := height(before); qBefore*f(x) > q*f(before) {
			return qBefore, before
		}
		return q, x
	}

	var h horizons
	farM := math.Sqrt(hAM / curve)
	if q, x := beside(sort.SearchFloat64s(distM, farM), func(x float64) float64 { return x }); q >= 0 {
		h.blocked = true
		h.a = slopeOf{q, x}
		farM = math.Sqrt(hBM / curve)
		q, x = beside(sort.SearchFloat64s(distM, d-farM), func(x float64) float64 { return d - x })
		h.b = slopeOf{q, d - x}
		return h.point(d, wavelengthM)
	}
	// q < 0: the place of largest q/sqrt(xy) is that of smallest q²/(xy).
	lo, hi := 1, last
	for lo < hi {
		mid := int(uint(lo+hi) >> 1)
		x := distM[mid]
		y := d - x
		if curve*(y-x)*x*y+hAM*y-hBM*x > 0 {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	x, before := distM[min(lo, last-1)], distM[max(lo-1, 1)]
	q, qBefore := height(x), height(before)
	if qBefore*qBefore*x*(d-x) < q*q*before*(d-before) {
		q, x = qBefore, before
	}
	h.qq, h.qqXY, h.qX = q*q, x*(d-x), x
	return h.point(d, wavelengthM)
}
