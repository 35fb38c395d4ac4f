package coverage

// nearest finds the inner point that comes closest to the line of sight in
// terms of the first Fresnel zone, the ν of P.1812-6 eq 15:
//
//	ν = -(line - y) sqrt(2 D/(λ d (D-d)))
//
// best is the smallest (line - y)²/(d (D-d)) wanted; a point with less is
// looked for, and returned with its value. Without one, at is -1.
//
// Along the hull the line's height over it is convex and the square root of
// d (D-d) concave; a quotient of these falls to its one minimum and rises after
// it. So a walk finds the best point of the hull, and only between that and its
// two neighbours can a point below the hull be better.
type sight struct {
	y0, slope, distM float64 // the line: y0 + slope d, up to distM
}

func (r *ray) nearest(s sight, last int32, best float64) (at int32, value float64) {
	x, y, u := r.dist, r.y, &r.upper
	quotient := func(j int32) float64 {
		d := float64(x[j])
		g := s.y0 + s.slope*d - float64(y[j])
		return g * g / (d * (s.distM - d))
	}
	j, after := last, int32(-1)
	here := quotient(j)
	for steps := 0; ; steps++ {
		k := u.before[j]
		if k < 0 {
			break
		}
		next := quotient(k)
		if next >= here {
			break
		}
		j, after, here = k, j, next
		if steps >= nearSteps {
			if k := u.skip(j, func(k, b int32) bool { return quotient(b) < quotient(k) }); k != j {
				// The neighbour behind is not known, but it is not the end either:
				// one more step follows.
				j, here = k, quotient(k)
			}
		}
	}
	at = -1
	if here < best {
		best, at = here, j
	}
	if b := u.before[j]; b >= 0 && b+1 < j {
		at, best = r.between(s, b, j, at, best)
	}
	if after >= 0 && j+1 < after {
		at, best = r.between(s, j, after, at, best)
	}
	return at, best
}

// between looks at the points below the hull between two of its points.
func (r *ray) between(s sight, from, to, at int32, best float64) (int32, float64) {
	a, b := float64(r.dist[from]), float64(r.dist[to])
	return r.within(s, from, to, s.y0+s.slope*a-float64(r.y[from]), s.y0+s.slope*b-float64(r.y[to]), at, best)
}

// within looks at the points between from and to, both left out, where the line
// passes at least as high over the ground as over the straight line between the
// heights gA and gB; parts where that already is too much are left out.
func (r *ray) within(s sight, from, to int32, gA, gB float64, at int32, best float64) (int32, float64) {
	a, b := float64(r.dist[from]), float64(r.dist[to])
	widest := max(a*(s.distM-a), b*(s.distM-b))
	if half := s.distM / 2; a < half && b > half {
		widest = half * half
	}
	if g := min(gA, gB); g*g >= best*widest {
		return at, best
	}
	if to-from > 12 {
		mid := (from + to) / 2
		perM := (gB - gA) / (b - a)
		at, best = r.within(s, from, mid+1, gA, gA+perM*(float64(r.dist[mid+1])-a), at, best)
		return r.within(s, mid, to, gA+perM*(float64(r.dist[mid])-a), gB, at, best)
	}
	dist, y := r.dist[from+1:to], r.y[from+1:to]
	for i, d32 := range dist {
		d := float64(d32)
		g := s.y0 + s.slope*d - float64(y[i])
		if w := d * (s.distM - d); g*g < best*w {
			best, at = g*g/w, from+1+int32(i)
		}
	}
	return at, best
}
