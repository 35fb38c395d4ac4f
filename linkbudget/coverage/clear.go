package coverage

import "math"

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

func (r *ray) nearest(s sight, best float64) (at int, value float64) {
	p := r.upper.points
	quotient := func(k int) float64 {
		d := p[k].x
		g := s.y0 + s.slope*d - p[k].y
		return g * g / (d * (s.distM - d))
	}
	k := len(p) - 1
	here := quotient(k)
	for k > 0 {
		next := quotient(k - 1)
		if next >= here {
			break
		}
		k, here = k-1, next
		if len(p)-1-k > nearSteps {
			k = r.upper.gallop(k, -1, func(a, b *hullPoint) bool {
				ga, gb := s.y0+s.slope*a.x-a.y, s.y0+s.slope*b.x-b.y
				return gb*gb*a.x*(s.distM-a.x) < ga*ga*b.x*(s.distM-b.x)
			})
			here = quotient(k)
			break
		}
	}
	at = -1
	if here < best {
		best, at = here, p[k].i
	}
	if k > 0 {
		at, best = r.between(s, p[k-1].i, p[k].i, at, best)
	}
	if k+1 < len(p) {
		at, best = r.between(s, p[k].i, p[k+1].i, at, best)
	}
	return at, best
}

// between looks at the points below the hull between two of its points.
func (r *ray) between(s sight, from, to, at int, best float64) (int, float64) {
	if from+1 >= to {
		return at, best
	}
	a, b := r.dist[from], r.dist[to]
	return r.within(s, from, to, s.y0+s.slope*a-r.y[from], s.y0+s.slope*b-r.y[to], at, best)
}

// within looks at the points between from and to, both left out, where the line
// passes at least as high over the ground as over the straight line between the
// heights gA and gB; parts where that already is too much are left out.
func (r *ray) within(s sight, from, to int, gA, gB float64, at int, best float64) (int, float64) {
	a, b := r.dist[from], r.dist[to]
	if g := min(gA, gB); g*g >= best*s.widest(a, b) {
		return at, best
	}
	if to-from > 8*blockSize {
		mid := (from + to) / 2
		perM := (gB - gA) / (b - a)
		at, best = r.within(s, from, mid+1, gA, gA+perM*(r.dist[mid+1]-a), at, best)
		return r.within(s, mid, to, gA+perM*(r.dist[mid]-a), gB, at, best)
	}
	for i := from + 1; i < to; {
		end := min(i-i%blockSize+blockSize, to)
		// Nowhere in the block is the line lower than at one of its ends.
		a, b := r.dist[i], r.dist[end-1]
		g := min(s.y0+s.slope*a, s.y0+s.slope*b) - r.tops[i/blockSize]
		if !(g > 0 && g*g >= best*s.widest(a, b)) {
			for ; i < end; i++ {
				d := r.dist[i]
				g := s.y0 + s.slope*d - r.y[i]
				if w := d * (s.distM - d); g*g < best*w {
					best, at = g*g/w, i
				}
			}
		}
		i = end
	}
	return at, best
}

// widest is the most that d (D-d) is from a to b.
func (s *sight) widest(a, b float64) float64 {
	if half := s.distM / 2; a < half && b > half {
		return half * half
	}
	return max(a*(s.distM-a), b*(s.distM-b))
}

// blockSize samples have their highest height noted, for within.
const blockSize = 8

// crown notes the highest of each block of samples from one on.
func (r *ray) crown(from int) {
	for i := from - from%blockSize; i < r.n; i += blockSize {
		top := math.Inf(-1)
		for _, y := range r.y[i:min(i+blockSize, r.n)] {
			top = max(top, y) // of unknown ground NaN, which rules nothing out
		}
		r.tops[i/blockSize] = top
	}
}
