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
		at, best = r.between(s, stretch{p[k-1].i, p[k].i, true}, at, best)
	}
	if k+1 < len(p) {
		at, best = r.between(s, stretch{p[k].i, p[k+1].i, false}, at, best)
	}
	return at, best
}

// nearSteps are walked before the search gallops: nearly all end before.
const nearSteps = 8

// stretch is the samples between two points of the hull, both left out, to be looked at from
// its first or from its last: where points are likely to be close to the line.
type stretch struct {
	from, to  int
	backwards bool
}

// between looks at the points below the hull between two of its points.
func (r *ray) between(s sight, g stretch, at int, best float64) (int, float64) {
	if g.from+1 >= g.to {
		return at, best
	}
	a, b := r.dist[g.from], r.dist[g.to]
	return r.within(s, g, s.y0+s.slope*a-r.y[g.from], s.y0+s.slope*b-r.y[g.to], at, best)
}

// within looks at the points in a stretch, where the line passes at least as high over the
// ground as over the straight line between the heights gA and gB; parts where that already
// is too much are left out.
func (r *ray) within(s sight, in stretch, gA, gB float64, at int, best float64) (int, float64) {
	a, b := r.dist[in.from], r.dist[in.to]
	if g := min(gA, gB); g*g >= best*s.widest(a, b) {
		return at, best
	}
	if in.to-in.from > 4*wideBlock {
		mid := (in.from + in.to) / 2
		perM := (gB - gA) / (b - a)
		halves := [2]stretch{{in.from, mid + 1, in.backwards}, {mid, in.to, in.backwards}}
		above := [2][2]float64{{gA, gA + perM*(r.dist[mid+1]-a)}, {gA + perM*(r.dist[mid]-a), gB}}
		first := 0
		if in.backwards {
			first = 1
		}
		for _, k := range [2]int{first, 1 - first} {
			at, best = r.within(s, halves[k], above[k][0], above[k][1], at, best)
		}
		return at, best
	}
	wides := in.blocks(wideBlock)
	for n := range wides.count {
		wide := wides.number(n)
		part := stretch{max(in.from, wide*wideBlock-1), min(in.to, (wide+1)*wideBlock), in.backwards}
		if s.clears(r.dist[part.from+1], r.dist[part.to-1], r.wideTops[wide], best) {
			continue
		}
		small := part.blocks(blockSize)
		for m := range small.count {
			block := small.number(m)
			i, end := max(part.from+1, block*blockSize), min(part.to, (block+1)*blockSize)
			if s.clears(r.dist[i], r.dist[end-1], r.tops[block], best) {
				continue
			}
			for ; i < end; i++ {
				d := r.dist[i]
				g := s.y0 + s.slope*d - r.y[i]
				if w := d * (s.distM - d); g*g < best*w {
					best, at = g*g/w, i
				}
			}
		}
	}
	return at, best
}

// blocks are those that a stretch has samples in, in its order.
type blocks struct{ first, step, count int }

func (g stretch) blocks(size int) blocks {
	first, last := (g.from+1)/size, (g.to-1)/size
	if g.backwards {
		return blocks{last, -1, last - first + 1}
	}
	return blocks{first, 1, last - first + 1}
}

func (b blocks) number(n int) int { return b.first + b.step*n }

// clears reports whether no point from a to b, none above top, is better than best. Nowhere
// there is the line lower than at one of both ends.
func (s *sight) clears(a, b, top, best float64) bool {
	g := s.y0 + min(s.slope*a, s.slope*b) - top
	return g > 0 && g*g >= best*s.widest(a, b)
}

// widest is the most that d (D-d) is from a to b.
func (s *sight) widest(a, b float64) float64 {
	if half := s.distM / 2; a < half && b > half {
		return half * half
	}
	return max(a*(s.distM-a), b*(s.distM-b))
}

// blockSize and wideBlock samples have their highest height noted, for within: sea or a wide
// plain is passed over by the wide ones.
const (
	blockSize = 8
	wideBlock = 8 * blockSize
)

// markTops notes the highest of each block of samples from one on.
func (r *ray) markTops(from int) {
	for i := from - from%wideBlock; i < r.n; i += wideBlock {
		wide := math.Inf(-1)
		for k := i; k < min(i+wideBlock, r.n); k += blockSize {
			top := math.Inf(-1)
			for _, y := range r.y[k:min(k+blockSize, r.n)] {
				top = max(top, y) // of unknown ground NaN, which rules nothing out
			}
			r.tops[k/blockSize] = top
			wide = max(wide, top)
		}
		r.wideTops[i/wideBlock] = wide
	}
}
