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

// slopesOf finds slopes per unit of the reciprocals. What decides about the path as it
// is nearly decides about the views: most points then fall out at the first look.
func (r *relief) slopesOf(s *reliefSlopes) {
	last := len(r.distM) - 1
	below := slopes{math.Inf(-1), math.Inf(-1)}
	s.of = [shiftedViews]slopes{below, below, below, below, below}
	for _, i := range [...]int{r.leading.a, r.leading.b, r.leading.bareA, r.leading.bareB} {
		if i > 0 {
			r.meet(s, i, i+1)
		}
	}
	curve := max(s.curve, s.otherCurve)
	leastA, leastB := s.least()
	for k, block := range r.shape() {
		from, to := r.block(k)
		// No view puts a point of the block higher; the last digits may round up.
		top := (r.bareM[k] + s.upM + curve*block.mostM2) * (1 + 1e-12)
		if leastA >= 0 && leastB >= 0 && !(top*r.perX.of[from] > leastA) && !(top*r.perY.of[last-to+1] > leastB) {
			continue
		}
		r.meet(s, from, to)
		leastA, leastB = s.least()
	}
}

// least are the smallest of all views.
func (s *reliefSlopes) least() (a, b float64) {
	a, b = s.of[0].a, s.of[0].b
	for _, of := range s.of[1:] {
		a, b = min(a, of.a), min(b, of.b)
	}
	return a, b
}

// meet looks at the points from one on and before another.
func (r *relief) meet(s *reliefSlopes, from, to int) {
	last := len(r.distM) - 1
	heights := r.heightM[from:to]
	dist, nearAs, nearBs := r.distM[from:to][:len(heights)], r.perX.of[from:to][:len(heights)], r.perY.of[last-to+1 : last-from+1][:len(heights)]
	d, upM, curve, otherCurve := r.lengthM, s.upM, s.curve, s.otherCurve
	up, down, other := s.of[shiftedUp], s.of[shiftedDown], s.of[otherAir]
	for i, h := range heights {
		nearA, nearB, xy := nearAs[i], nearBs[len(nearBs)-1-i], dist[i]*(d-dist[i])
		q := h + curve*xy
		up.meet(q+upM, nearA, nearB)
		down.meet(q-upM, nearA, nearB)
		other.meet(h+otherCurve*xy, nearA, nearB)
	}
	flatUp, flatDown := s.of[bareUp], s.of[bareDown]
	for i, h := range heights {
		nearA, nearB := nearAs[i], nearBs[len(nearBs)-1-i]
		flatUp.meet(h+upM, nearA, nearB)
		flatDown.meet(h-upM, nearA, nearB)
	}
	s.of = [shiftedViews]slopes{shiftedUp: up, shiftedDown: down, otherAir: other, bareUp: flatUp, bareDown: flatDown}
}

// meet looks at a point qM over the ray, its distances given by their reciprocals.
func (s *slopes) meet(qM, nearA, nearB float64) {
	if a := qM * nearA; a > s.a {
		s.a = a
	}
	if b := qM * nearB; b > s.b {
		s.b = b
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
