package linkbudget

import "math/bits"

// reliefRivals are the few points that can decide about a path on bare ground for
// shifts up to mostUpM and in air up to mostCurve: of a blocked path, for shifts
// either way, those that can be a horizon; of one in sight those that can come
// nearer to the ray than clearFraction of the first Fresnel radius.
type reliefRivals struct {
	mostUpM, mostCurve float64 // mostCurve 0: not looked for
	inSight            bool
	points             []reliefRival
	marks              []byte // of a block each: which of its points are rivals, the first in the lowest bit
}

// reliefRival is a point of bare ground.
type reliefRival struct {
	i          int
	hM, xM, yM float64 // height above the ray, distances from A and B
}

// The numbers of rivals above which it is quicker to look at the blocks: of
// horizons, and of what comes near the ray, which is asked for more often.
const (
	mostRivals     = 64
	mostNearRivals = 96
)

func (s *reliefRivals) forget() { s.mostCurve = 0 }

func (s *reliefRivals) answer(v reliefView) bool {
	return v.curve <= s.mostCurve && s.mostCurve > 0 && v.upM <= s.mostUpM && (s.inSight || v.upM >= -s.mostUpM)
}

// answerClose is answer for what comes near the ray.
func (s *reliefRivals) answerClose(v reliefView) bool { return s.inSight && s.answer(v) }

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
	s.inSight = false
	if r.clutterM != nil {
		return // bare ground and its clutter have rivals each
	}
	s.points = s.points[:0]
	r.markRivals(a, b, mostUpM, mostCurve)
	for k, marks := range s.marks {
		for ; marks != 0; marks &= marks - 1 {
			if len(s.points) == mostRivals {
				return
			}
			i := 1 + k*blockPoints + bits.TrailingZeros8(marks)
			x := r.distM[i]
			s.points = append(s.points, reliefRival{i, r.heightM[i], x, r.lengthM - x})
		}
	}
	s.mostUpM, s.mostCurve = mostUpM, mostCurve
}

// markRivals fills in the marks.
func (r *relief) markRivals(a, b reliefPoint, mostUpM, mostCurve float64) {
	s := &r.rivals
	if cap(s.marks) < len(r.bareM) {
		s.marks = make([]byte, len(r.bareM), 2*len(r.bareM))
	}
	s.marks = s.marks[:len(r.bareM)]
	hA, hB := r.heightM[a.i], r.heightM[b.i]
	for k := r.markRivalsQuickly(a, b, mostUpM, mostCurve); k < len(s.marks); k++ {
		from, to := r.block(k)
		var marks byte
		for i := from; i < to; i++ {
			h, x := r.heightM[i], r.distM[i]
			if rivals(h, x, hA, a.xM, mostUpM, mostCurve) || rivals(h, r.lengthM-x, hB, b.yM, mostUpM, mostCurve) {
				marks |= 1 << (i - from)
			}
		}
		s.marks[k] = marks
	}
}

// rivals reports whether the left side, at its largest, is at least 0: for a point
// of height h at x, and the horizon of height h' at x'.
func rivals(h, x, hAtHorizon, horizon, upM, curve float64) bool {
	side := h*horizon - hAtHorizon*x
	if ahead := horizon - x; ahead > 0 {
		return side+ahead*(upM+curve*x*horizon) >= 0
	}
	return side+(x-horizon)*upM >= 0
}

// horizons is relief.horizons among the rivals. The two that lead are four numbers in
// registers, and written down at the end: a struct just written is slow to copy.
func (s *reliefRivals) horizons(a, b *reliefPoint, v reliefView) (blocked bool) {
	aq, ax, bq, by := -1.0, 1.0, -1.0, 1.0
	var atA, atB *reliefRival
	for k := range s.points {
		p := &s.points[k]
		q := p.hM + v.upM + v.curve*(p.xM*p.yM)
		if !(q >= 0) {
			continue
		}
		if q*ax > aq*p.xM {
			aq, ax, atA = q, p.xM, p
		}
		if q*by > bq*p.yM {
			bq, by, atB = q, p.yM, p
		}
	}
	if atA == nil || atB == nil {
		return false
	}
	a.i, a.qM, a.xM, a.yM = atA.i, aq, ax, atA.yM
	b.i, b.qM, b.xM, b.yM = atB.i, bq, atB.xM, by
	return true
}

// findNearRivals looks for the rivals of a path in sight. The closeness of a point
// grows with the shift and with the bulge: what does not come near with the most of
// both never does.
func (r *relief) findNearRivals(mostUpM, mostCurve, wavelengthM float64) {
	s := &r.rivals
	s.forget()
	s.inSight = true
	if r.clutterM != nil {
		return
	}
	s.points = s.points[:0]
	v, limit := reliefView{curve: mostCurve, upM: mostUpM}, r.nearClearance(wavelengthM)
	for k, block := range r.shape() {
		if !block.closest(r.bareM[k], &v).above(limit) {
			continue
		}
		from, to := r.block(k)
		for i := from; i < to; i++ {
			if p := r.point(i, v); p.closeness().above(limit) {
				if len(s.points) == mostNearRivals {
					return
				}
				s.points = append(s.points, reliefRival{i, r.heightM[i], p.xM, p.yM})
			}
		}
	}
	s.mostUpM, s.mostCurve = mostUpM, mostCurve
}

// nearClearance is the closeness of a clearance of clearFraction: f of
// F1 = sqrt(λ x y/d) below the ray is q|q|/(x y) = -f² λ/d.
func (r *relief) nearClearance(wavelengthM float64) closeness {
	return closeness{-clearFraction * clearFraction * wavelengthM, r.lengthM}
}

// closest is relief.closest among the rivals.
func (s *reliefRivals) closest(v reliefView, from, to int, floor closeness) (best reliefPoint, found bool) {
	for k := range s.points {
		n := &s.points[k]
		if n.i < from || n.i >= to {
			continue
		}
		p := reliefPoint{n.i, n.hM + v.upM + v.curve*(n.xM*n.yM), n.xM, n.yM}
		if c := p.closeness(); c.above(floor) {
			best, found, floor = p, true, c
		}
	}
	return best, found
}
