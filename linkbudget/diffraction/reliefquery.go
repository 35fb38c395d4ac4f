package diffraction

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// reliefView says how the ground is looked at: over an earth with the bulge
// curve·x·y (curve is half the curvature, 0 leaves the bulge out), with its clutter
// or bare.
type reliefView struct {
	curve float64
	bare  bool
}

// reliefPoint is one inner point: its height above the ray and its distances
// from A and B.
type reliefPoint struct {
	i          int
	qM, xM, yM float64
}

func (r *Relief) point(i int, v *reliefView) reliefPoint {
	p := reliefPoint{i: i, xM: r.distM[i]}
	p.yM = r.lengthM - p.xM
	p.qM = r.heightM[i] + v.curve*(p.xM*p.yM)
	if !v.bare && r.clutterM != nil {
		p.qM += r.clutterM[i]
	}
	return p
}

// horizons makes a and b the points with the largest q/x and q/y, the horizons of A
// and of B; it leaves them and returns false where no point comes up to the ray.
func (r *Relief) horizons(atA, atB *reliefPoint, v *reliefView) (blocked bool) {
	// A point just under the ray, far from both ends: any that comes up beats it.
	a, b := slopeOf{-1, 1}, slopeOf{-1, 1}
	if r.later.teller != nil && !v.bare && v.curve == r.curve {
		a.num, b.num = r.later.atLeast.slopes.A, r.later.atLeast.slopes.B
	}
	var iA, iB int
	// What decided the last question nearly decides this one: most blocks then
	// fall out at once.
	for _, i := range r.seeds {
		if i == 0 {
			continue
		}
		if p := r.point(i, v); p.qM >= 0 {
			if p.qM*a.den > a.num*p.xM {
				a, iA = slopeOf{p.qM, p.xM}, i
			}
			if p.qM*b.den > b.num*p.yM {
				b, iB = slopeOf{p.qM, p.yM}, i
			}
		}
	}
	tops, blocks := r.tops(v), r.blocks
	d, curve, clutter := r.lengthM, v.curve, r.clutterM
	if v.bare {
		clutter = nil
	}
	for k := range tops {
		block := &blocks[k]
		top := block.top(tops[k], v)
		if !(top >= 0) || !(top*a.den > a.num*block.nearM) && !(top*b.den > b.num*block.farM) {
			continue
		}
		if !v.bare {
			r.settle(k)
		}
		from, to := r.block(k)
		heights, dist := r.heightM[from:to], r.distM[from:to]
		for i, x := range dist {
			y := d - x
			q := heights[i] + curve*(x*y)
			if clutter != nil {
				q += clutter[from+i]
			}
			if !(q >= 0) {
				continue
			}
			if q*a.den > a.num*x {
				a, iA = slopeOf{q, x}, from+i
			}
			if q*b.den > b.num*y {
				b, iB = slopeOf{q, y}, from+i
			}
		}
	}
	if iA == 0 {
		return false
	}
	r.seeds = [2]int{iA, iB}
	*atA = reliefPoint{iA, a.num, a.den, d - a.den}
	*atB = reliefPoint{iB, b.num, d - b.den, b.den}
	return true
}

// Slopes are the largest q/x and the largest q/y, by which the rays from A and from B
// to their horizons rise over the direct ray.
type Slopes struct{ A, B float64 }

// steepest returns the slopes of a view, and whether any ground comes up to the ray;
// if none does the slopes are those of no point.
func (r *Relief) steepest(v *reliefView) (s Slopes, blocked bool) {
	var a, b reliefPoint
	if !r.horizons(&a, &b, v) {
		return Slopes{-1, -1}, false
	}
	return Slopes{a.qM / a.xM, b.qM / b.yM}, true
}

// Bare are the slopes of the bare ground over an earth of radiusM, 0 where none comes up to the direct ray.
func (r *Relief) Bare(radiusM float64) Slopes {
	seeds := r.seeds
	s, blocked := r.steepest(&reliefView{curve: radio.HalfCurvature(radiusM), bare: true})
	if r.seeds = seeds; !blocked {
		return Slopes{}
	}
	return s
}

// closeness orders points by q|q|/(x y): by their height above the ray in
// Fresnel radii, which grows with it. It is kept as a fraction, so that two are
// compared crosswise without root or division.
type closeness struct{ square, m2 float64 }

func (c closeness) above(d closeness) bool { return c.square*d.m2 > d.square*c.m2 }

func (p *reliefPoint) closeness() closeness { return closeness{p.qM * math.Abs(p.qM), p.xM * p.yM} }

// closenessOfNu is the closeness at which ν has a value:
// ν² = 2 d q²/(λ x y), with the sign of q.
func (r *Relief) closenessOfNu(nu, wavelengthM float64) closeness {
	return closeness{nu * math.Abs(nu) * wavelengthM, 2 * r.lengthM}
}

// nearClearance is the closeness of a clearance of clearFraction: f of
// F1 = sqrt(λ x y/d) below the ray is q|q|/(x y) = -f² λ/d.
func (r *Relief) nearClearance(wavelengthM float64) closeness {
	return closeness{-ClearFraction * ClearFraction * wavelengthM, r.lengthM}
}

// anyCloseness is below every point's.
var anyCloseness = closeness{-1, 0}

// closest returns the point of largest closeness among the inner points from
// index from on and before index to, and false where none is above the floor.
// The points that decided the last question are asked first.
func (r *Relief) closest(v *reliefView, from, to int, floor closeness) (best reliefPoint, found bool) {
	for _, i := range r.seeds {
		if i >= from && i < to && i > 0 {
			if p := r.point(i, v); p.closeness().above(floor) {
				best, floor = p, p.closeness()
			}
		}
	}
	tops, sure := r.tops(v), r.sure(v, from, to, floor)
	for k := range r.blocks {
		bound := r.blocks[k].closest(tops[k], v)
		if !bound.above(floor) {
			continue
		}
		first, end := r.block(k)
		if r.later.untold(k, v) {
			if !bound.above(sure) || end <= from || first >= to {
				continue
			}
			r.settle(k)
		}
		for i := max(first, from); i < min(end, to); i++ {
			if p := r.point(i, v); p.closeness().above(floor) {
				best, floor = p, p.closeness()
			}
		}
	}
	return best, best.i > 0
}
