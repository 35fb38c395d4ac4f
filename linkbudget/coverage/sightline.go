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
// Along the hull it falls to its one minimum and rises after it; only between the best
// point of the hull and its two neighbours can a point below the hull be better.
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
		at, best = r.between(s, p[k-1].i, p[k].i, -1, at, best)
	}
	if k+1 < len(p) {
		at, best = r.between(s, p[k].i, p[k+1].i, 1, at, best)
	}
	return at, best
}

// nearSteps are walked before the search gallops: nearly all end before.
const nearSteps = 8

// between looks at the samples below the hull between two of its points, roof by roof and
// block by block: from the first on with a step of 1, from the last back with -1.
func (r *ray) between(s sight, from, to, step, at int, best float64) (int, float64) {
	if from+1 >= to {
		return at, best
	}
	a, b := r.dist[from], r.dist[to]
	if g := min(s.y0+s.slope*a-r.y[from], s.y0+s.slope*b-r.y[to]); g*g >= best*s.widest(a, b) {
		return at, best
	}
	first, last := (from+1)/roofSize, (to-1)/roofSize
	roof := first
	if step < 0 {
		roof = last
	}
	for ; roof >= first && roof <= last; roof += step {
		i, end := max(from+1, roof*roofSize), min(to, (roof+1)*roofSize)
		if end-i <= blockSize || !s.clears(r.dist[i], r.dist[end-1], r.roofs[roof], best) {
			at, best = r.under(s, i, end, step, at, best)
		}
	}
	return at, best
}

// under looks at the samples from one up to another, of one roof, in the order of between.
func (r *ray) under(s sight, from, to, step, at int, best float64) (int, float64) {
	first, last := from/blockSize, (to-1)/blockSize
	block := first
	if step < 0 {
		block = last
	}
	for ; block >= first && block <= last; block += step {
		i, end := max(from, block*blockSize), min(to, (block+1)*blockSize)
		if s.clears(r.dist[i], r.dist[end-1], r.tops[block], best) {
			continue
		}
		if r.levelFrom != nil && r.levelFrom[block] >= 0 {
			run := r.levelFrom[block]
			if step < 0 {
				block = max(first, int(run))
			}
			for step > 0 && block < last && r.levelFrom[block+1] == run {
				block++
			}
			i, end = min(i, max(from, block*blockSize)), max(end, min(to, (block+1)*blockSize))
			at, best = r.overLevel(s, i, end, at, best)
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
	return at, best
}

// overLevel looks at the samples from one up to another, of level ground. Flattened it falls off as a
// parabola, so the gap to the line is convex; over the root of d (D-d), which is concave, it falls to its one minimum
// and rises after it.
func (r *ray) overLevel(s sight, from, to, at int, best float64) (int, float64) {
	terms := func(i int) (g2, w float64) {
		d := r.dist[i]
		g := s.y0 + s.slope*d - r.y[i]
		return g * g, d * (s.distM - d)
	}
	low, high := from, to-1
	for low < high {
		mid := (low + high) / 2
		g2, w := terms(mid)
		if next2, nextW := terms(mid + 1); next2*w < g2*nextW {
			low = mid + 1
		} else {
			high = mid
		}
	}
	if g2, w := terms(low); g2 < best*w {
		return low, g2 / w
	}
	return at, best
}

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

// Of every block of samples, and of every roof over blocks, the highest height is noted, for between, and of blocks
// whether they are level.
const (
	blockSize = 16
	roofSize  = 16 * blockSize
)

// markTops notes the highest of each block of samples, and of each roof, from one sample on.
func (r *ray) markTops(from int) {
	for i := from - from%roofSize; i < r.n; i += roofSize {
		end := min(i+roofSize, r.n)
		first, last := max(i, from-from%blockSize), (end-1)/blockSize
		for b := first / blockSize; b <= last; b++ {
			from, to := b*blockSize, min((b+1)*blockSize, end)
			r.tops[b] = highest(r.y[from:to])
			if r.levelFrom != nil {
				r.levelFrom[b] = r.levelRun(b, from, to)
			}
		}
		r.roofs[i/roofSize] = highest(r.tops[i/blockSize : last+1])
	}
}

// levelRun is the first of the blocks, up to block b with samples from one up to another, that are level ground of one
// height; -1 where that is not.
func (r *ray) levelRun(b, from, to int) int32 {
	for _, v := range r.h[from+1 : to] {
		if v != r.h[from] {
			return -1
		}
	}
	if b > 0 && r.levelFrom[b-1] >= 0 && r.h[from-1] == r.h[from] {
		return r.levelFrom[b-1]
	}
	return int32(b)
}

// highest is that of known ground; of unknown ground it is NaN, which rules nothing out.
func highest(y []float64) float64 {
	top := math.Inf(-1)
	for _, v := range y {
		top = max(top, v)
	}
	return top
}
