package linkbudget

import "math"

// slopes are the steepest of a view: the largest q/x and the largest q/y, by which the
// rays from A and from B to their horizons rise over the direct ray. Both are negative
// where all ground lies below it.
type slopes struct{ a, b float64 }

// The views that a doubt needs of a blocked path on bare ground, all of them at once:
// the ground shifted up and down as it is and without the bulge, and in other air.
const (
	shiftedUp = iota
	shiftedDown
	otherAir
	bareUp
	bareDown
	shiftedViews
)

// reliefSlopes are the slopes of those views.
type reliefSlopes struct {
	known                  bool
	upM, curve, otherCurve float64
	of                     [shiftedViews]slopes
}

func (s *reliefSlopes) forget() { s.known = false }

// find returns those of a view, and false where it is none of the views.
func (s *reliefSlopes) find(v reliefView) (slopes, bool) {
	switch {
	case !s.known:
		return slopes{}, false
	case v.bare && v.curve == 0 && v.upM == s.upM:
		return s.of[bareUp], true
	case v.bare && v.curve == 0 && v.upM == -s.upM:
		return s.of[bareDown], true
	case v.bare:
		return slopes{}, false
	case v.curve == s.curve && v.upM == s.upM:
		return s.of[shiftedUp], true
	case v.curve == s.curve && v.upM == -s.upM:
		return s.of[shiftedDown], true
	case v.curve == s.otherCurve && v.upM == 0:
		return s.of[otherAir], true
	}
	return slopes{}, false
}

// findSlopes looks for the slopes of the views with a shift and two curvatures. With
// clutter it does nothing: bare ground and its clutter have slopes each.
func (r *relief) findSlopes(upM, curve, otherCurve float64) {
	s := &r.slopes
	s.forget()
	if r.clutterM != nil {
		return
	}
	s.known, s.upM, s.curve, s.otherCurve = true, upM, curve, otherCurve
	if !r.slopesQuickly(s) {
		r.slopesOf(s)
	}
	for i := range s.of {
		s.of[i].a *= r.perUnit
		s.of[i].b *= r.perUnit
	}
}

// slopesOf finds slopes per unit of the reciprocals.
func (r *relief) slopesOf(s *reliefSlopes) {
	for i := range s.of {
		s.of[i] = slopes{math.Inf(-1), math.Inf(-1)}
	}
	last := len(r.distM) - 1
	for i := 1; i < last; i++ {
		x, h := r.distM[i], r.heightM[i]
		nearA, nearB := r.perX.of[i], r.perY.of[last-i]
		xy := x * (r.lengthM - x)
		q := h + s.curve*xy
		for view, height := range [shiftedViews]float64{q + s.upM, q - s.upM, h + s.otherCurve*xy, h + s.upM, h - s.upM} {
			of := &s.of[view]
			of.a, of.b = max(of.a, height*nearA), max(of.b, height*nearB)
		}
	}
}

// steepest returns the slopes of a view, and whether any ground comes up to the ray;
// if none does the slopes are those of no point.
func (r *relief) steepest(v reliefView) (s slopes, blocked bool) {
	if s, ok := r.slopes.find(v); ok {
		return s, s.a >= 0
	}
	var a, b reliefPoint
	if !r.horizons(&a, &b, v) {
		return slopes{-1, -1}, false
	}
	return slopes{a.qM / a.xM, b.qM / b.yM}, true
}
