package linkbudget

// reliefRivals are the few points of a path in sight on bare ground that can come
// nearer to the ray than clearFraction of the first Fresnel radius, for shifts up to
// mostUpM and in air up to mostCurve.
type reliefRivals struct {
	mostUpM, mostCurve float64 // mostCurve 0: not looked for
	points             []reliefRival
}

// reliefRival is a point of bare ground.
type reliefRival struct {
	i          int
	hM, xM, yM float64 // height above the ray, distances from A and B
}

// mostRivals is the number of rivals above which it is quicker to look at the blocks.
const mostRivals = 96

func (s *reliefRivals) forget() { s.mostCurve = 0 }

func (s *reliefRivals) answer(v reliefView) bool {
	return v.curve <= s.mostCurve && s.mostCurve > 0 && v.upM <= s.mostUpM
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

// findRivals looks for the rivals of a path in sight. The closeness of a point
// grows with the shift and with the bulge: what does not come near with the most of
// both never does.
func (r *relief) findRivals(mostUpM, mostCurve, wavelengthM float64) {
	s := &r.rivals
	s.forget()
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
				if len(s.points) == mostRivals {
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
