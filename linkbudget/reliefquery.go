package linkbudget

import "math"

// reliefView says how the ground is looked at: over an earth with the bulge
// curve·x·y (curve is half the curvature, 0 leaves the bulge out), all inner
// ground shifted up, with its clutter or bare.
type reliefView struct {
	curve, upM float64
	bare       bool
}

// reliefPoint is one inner point: its height above the ray and its distances
// from A and B.
type reliefPoint struct {
	i          int
	qM, xM, yM float64
}

func (r *relief) point(i int, v reliefView) reliefPoint {
	p := reliefPoint{i: i, xM: r.distM[i]}
	p.yM = r.lengthM - p.xM
	p.qM = r.heightM[i] + v.upM + v.curve*(p.xM*p.yM)
	if !v.bare && r.clutterM != nil {
		p.qM += r.clutterM[i]
	}
	return p
}

// horizons makes a and b the points with the largest q/x and q/y, the horizons of A
// and of B; it leaves them and returns false where no point comes up to the ray.
func (r *relief) horizons(a, b *reliefPoint, v reliefView) (blocked bool) {
	switch {
	case v == reliefView{curve: r.curve}:
		if r.leading.a == 0 {
			return false
		}
		r.seeds = [2]int{r.leading.a, r.leading.b}
		*a, *b = r.point(r.leading.a, v), r.point(r.leading.b, v)
		return true
	case v == reliefView{bare: true} && r.highestM >= 0:
		*a, *b = r.point(r.leading.bareA, v), r.point(r.leading.bareB, v)
		return true
	case r.rivals.answer(v):
		return r.rivals.horizons(a, b, v)
	}
	return r.searchHorizons(a, b, v)
}

// searchHorizons is horizons where nothing is known that could answer.
func (r *relief) searchHorizons(atA, atB *reliefPoint, v reliefView) (blocked bool) {
	// A point just under the ray, far from both ends: any that comes up beats it.
	a, b := reliefPoint{qM: -1, xM: 1}, reliefPoint{qM: -1, yM: 1}
	// What decided the last question nearly decides this one: most blocks then
	// fall out at once.
	for _, i := range r.seeds {
		if i == 0 {
			continue
		}
		if p := r.point(i, v); p.qM >= 0 {
			if p.qM*a.xM > a.qM*p.xM {
				a = p
			}
			if p.qM*b.yM > b.qM*p.yM {
				b = p
			}
		}
	}
	tops := r.tops(&v)
	for k, block := range r.shape() {
		top := block.top(tops[k], &v)
		if !(top >= 0) || !(top*a.xM > a.qM*block.nearM) && !(top*b.yM > b.qM*block.farM) {
			continue
		}
		from, to := r.block(k)
		for i := from; i < to; i++ {
			x := r.distM[i]
			y := r.lengthM - x
			q := r.heightM[i] + v.upM + v.curve*(x*y)
			if !v.bare && r.clutterM != nil {
				q += r.clutterM[i]
			}
			if !(q >= 0) {
				continue
			}
			if q*a.xM > a.qM*x {
				a = reliefPoint{i, q, x, y}
			}
			if q*b.yM > b.qM*y {
				b = reliefPoint{i, q, x, y}
			}
		}
	}
	if a.i == 0 {
		return false
	}
	r.seeds = [2]int{a.i, b.i}
	*atA, *atB = a, b
	return true
}

// closeness orders points by q|q|/(x y): by their height above the ray in
// Fresnel radii, which grows with it. It is kept as a fraction, so that two are
// compared crosswise without root or division.
type closeness struct{ square, m2 float64 }

func (c closeness) above(d closeness) bool { return c.square*d.m2 > d.square*c.m2 }

func (p *reliefPoint) closeness() closeness { return closeness{p.qM * math.Abs(p.qM), p.xM * p.yM} }

// closenessOfNu is the closeness at which ν has a value:
// ν² = 2 d q²/(λ x y), with the sign of q.
func (r *relief) closenessOfNu(nu, wavelengthM float64) closeness {
	return closeness{nu * math.Abs(nu) * wavelengthM, 2 * r.lengthM}
}

// anyCloseness is below every point's.
var anyCloseness = closeness{-1, 0}

// closest returns the point of largest closeness among the inner points from
// index from on and before index to, and false where none is above the floor.
// The points that decided the last question are asked first.
func (r *relief) closest(v reliefView, from, to int, floor closeness) (best reliefPoint, found bool) {
	at := 0
	for _, i := range r.seeds {
		if i >= from && i < to && i > 0 {
			if p := r.point(i, v); p.closeness().above(floor) {
				at, floor = i, p.closeness()
			}
		}
	}
	tops := r.tops(&v)
	for k, block := range r.shape() {
		if !block.closest(tops[k], &v).above(floor) {
			continue
		}
		first, end := r.block(k)
		for i := max(first, from); i < min(end, to); i++ {
			x := r.distM[i]
			m2 := x * (r.lengthM - x)
			q := r.heightM[i] + v.upM + v.curve*m2
			if !v.bare && r.clutterM != nil {
				q += r.clutterM[i]
			}
			if c := (closeness{q * math.Abs(q), m2}); c.above(floor) {
				at, floor = i, c
			}
		}
	}
	if at == 0 {
		return reliefPoint{}, false
	}
	return r.point(at, v), true
}

// near is closest for a floor that is not below nearClearance.
func (r *relief) near(v reliefView, from, to int, floor closeness) (best reliefPoint, found bool) {
	if r.rivals.answer(v) {
		return r.rivals.closest(v, from, to, floor)
	}
	return r.closest(v, from, to, floor)
}

// stretchAbove is the length of the path, m, over which the ground is above a
// closeness: each point stands for half the way to both its neighbours.
func (r *relief) stretchAbove(v reliefView, limit closeness) (stretchM float64) {
	tops := r.tops(&v)
	for k, block := range r.shape() {
		if !block.closest(tops[k], &v).above(limit) {
			continue
		}
		from, to := r.block(k)
		for i := from; i < to; i++ {
			if p := r.point(i, v); p.closeness().above(limit) {
				stretchM += (r.distM[i+1] - r.distM[i-1]) / 2
			}
		}
	}
	return stretchM
}
