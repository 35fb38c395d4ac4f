package linkbudget

import "math"

// reliefRivals are the few points among which the horizons of a blocked path are
// for any shift up to mostUpM, either way, and any air up to mostCurve.
type reliefRivals struct {
	mostUpM, mostCurve float64 // mostCurve 0: not looked for
	points             []reliefRival
}

// reliefRival is a point of bare ground.
type reliefRival struct {
	i          int
	hM, xM, yM float64 // height above the ray, distances from A and B
}

// mostRivals is the number above which it is quicker to look at the blocks.
const mostRivals = 24

func (s *reliefRivals) forget() { s.mostCurve = 0 }

func (s *reliefRivals) answer(v reliefView) bool {
	return v.curve <= s.mostCurve && s.mostCurve > 0 && math.Abs(v.upM) <= s.mostUpM
}

// findRivals looks for the rivals of a and b, the horizons of the path as it is.
//
// With h the height above the ray without bulge, a point at x can be the horizon
// of A under a shift u and a curve c only where (h + u)/x + c y is at least that
// of the point a at x', which is
//
//	h x' - h' x + u (x' - x) + c (x' - x) x x' >= 0
//
// and the left side is largest, for |u| <= U and 0 <= c <= C, with U |x' - x| and
// with C where x < x'. Likewise at B.
func (r *relief) findRivals(a, b reliefPoint, mostUpM, mostCurve float64) {
	s := &r.rivals
	s.forget()
	if r.clutterM != nil {
		return // bare ground and its clutter have rivals each
	}
	s.points = s.points[:0]
	hA, hB := r.heightM[a.i], r.heightM[b.i]
	for k, topM := range r.bareM {
		from, to := r.block(k)
		near, far := r.distM[from], r.distM[to-1]
		// The block's highest point at its most favourable place: h and h' x are
		// bounded each by itself.
		aheadM, behindM := max(a.xM-near, 0), max(far-a.xM, 0)
		ofA := topM*a.xM - min(hA*near, hA*far) + mostUpM*max(aheadM, behindM) + mostCurve*aheadM*far*a.xM
		nearB, farB := r.lengthM-far, r.lengthM-near
		aheadM, behindM = max(b.yM-nearB, 0), max(farB-b.yM, 0)
		ofB := topM*b.yM - min(hB*nearB, hB*farB) + mostUpM*max(aheadM, behindM) + mostCurve*aheadM*farB*b.yM
		if !(ofA >= 0) && !(ofB >= 0) {
			continue
		}
		for i := from; i < to; i++ {
			h, x := r.heightM[i], r.distM[i]
			y := r.lengthM - x
			toA, toB := a.xM-x, b.yM-y
			if h*a.xM-hA*x+mostUpM*math.Abs(toA)+mostCurve*max(toA, 0)*x*a.xM >= 0 ||
				h*b.yM-hB*y+mostUpM*math.Abs(toB)+mostCurve*max(toB, 0)*y*b.yM >= 0 {
				if len(s.points) == mostRivals {
					return
				}
				s.points = append(s.points, reliefRival{i, h, x, y})
			}
		}
	}
	s.mostUpM, s.mostCurve = mostUpM, mostCurve
}

// horizons is relief.horizons among the rivals.
func (s *reliefRivals) horizons(v reliefView) (a, b reliefPoint, blocked bool) {
	a, b = reliefPoint{qM: -1, xM: 1}, reliefPoint{qM: -1, yM: 1}
	for k := range s.points {
		p := &s.points[k]
		q := p.hM + v.upM + v.curve*(p.xM*p.yM)
		if !(q >= 0) {
			continue
		}
		if q*a.xM > a.qM*p.xM {
			a = reliefPoint{p.i, q, p.xM, p.yM}
		}
		if q*b.yM > b.qM*p.yM {
			b = reliefPoint{p.i, q, p.xM, p.yM}
		}
	}
	if a.i == 0 {
		return reliefPoint{}, reliefPoint{}, false
	}
	return a, b, true
}
