package linkbudget

import "math"

// relief is the ground of one path prepared for many questions: other air,
// ground shifted up or down, other limits. Heights are measured from the direct
// ray between the antennas, as in skyline; neighbouring points are gathered in
// blocks, and a question looks inside a block only where the block's highest
// point, put at the block's most favourable place, could still be the answer.
// The answers are those of a walk over all points.
//
// A relief is scratch memory: gather fills it anew for each path.
type relief struct {
	distM, clutterM []float64 // of the profile, which must stay as it is
	heightM         []float64 // of the bare ground above the direct ray
	blocks          []reliefBlock
	lengthM         float64
	aHeightM        float64 // antennas above ground
	bHeightM        float64
	sum, moment     float64    // v1, v2 of P.1812-6 eq 85-86 for the bare ground
	highestM        float64    // bare inner ground above the ray, negative below
	level           [2]float64 // h_te, h_re of the ground as it is
	seeds           [2]int     // points that decided the last question, 0 for none
	nearest         int        // the point of least clearance, 0 for none
	sightCurve      float64    // nearest is the closest of all inner points over this curve; 0: not known
}

// reliefBlock is a run of neighbouring inner points: its first, the one after
// its last, and what bounds them.
type reliefBlock struct {
	from, to        int
	nearM, farM     float64 // least distance from A, from B
	bareM, topM     float64 // the highest ground above the ray, without and with clutter
	leastM2, mostM2 float64 // product of the distances from A and B
}

// blockPoints is the size of a block: about the square root of a short profile,
// so that looking at all blocks and looking inside one cost alike.
const blockPoints = 8

// gather prepares the relief of a profile. It is the only pass over all points
// and takes neither a root nor a division per point. The sums are those of
// skyline.walk.
func (r *relief) gather(p *DiffractionPath) {
	last := len(p.DistM) - 1
	dist, ground, clutter := p.DistM, p.GroundM[:last+1], p.ClutterM
	d := dist[last]
	if cap(r.heightM) < len(dist) {
		r.heightM = make([]float64, len(dist), len(dist)+len(dist)/4)
	}
	height := r.heightM[:len(dist)]
	*r = relief{
		distM: dist, clutterM: clutter, heightM: height, blocks: r.blocks[:0],
		lengthM: d, aHeightM: p.AHeightM, bHeightM: p.BHeightM, highestM: math.Inf(-1),
	}
	rayA := ground[0] + p.AHeightM
	slope := (ground[last] + p.BHeightM - rayA) / d

	// Both ends stand below the ray by the height of their antennas.
	x, next := 0.0, dist[1]
	sum := -p.AHeightM * next
	moment := sum * next
	for from := 1; from < last; from += blockPoints {
		to := min(from+blockPoints, last)
		highest := math.Inf(-1)
		heights, nexts := height[from:to], dist[from+1:to+1]
		for i, g := range ground[from:to] {
			prev := x
			x = next
			next = nexts[i]
			h := g - rayA - slope*x
			heights[i] = h
			part := h * (next - prev)
			sum += part
			moment += part * (prev + x + next)
			if h > highest {
				highest = h
			}
		}
		r.addBlock(from, to, highest)
	}
	end := -p.BHeightM * (d - x)
	r.sum = sum + end
	r.moment = moment + end*(2*d+x)
}

// addBlock appends the block of the points from and before to, whose bare ground
// is at most highest above the ray.
func (r *relief) addBlock(from, to int, highest float64) {
	b := reliefBlock{
		from: from, to: to, bareM: highest, topM: highest,
		nearM: r.distM[from], farM: r.lengthM - r.distM[to-1],
	}
	r.highestM = max(r.highestM, highest)
	if r.clutterM != nil {
		b.topM = math.Inf(-1)
		for i := from; i < to; i++ {
			b.topM = max(b.topM, r.heightM[i]+r.clutterM[i])
		}
	}
	// x (d-x) rises up to the middle and falls from there on.
	first, last := b.nearM*(r.lengthM-b.nearM), (r.lengthM-b.farM)*b.farM
	b.leastM2, b.mostM2 = min(first, last), max(first, last)
	if half := r.lengthM / 2; b.nearM < half && b.farM < half {
		b.mostM2 = half * half
	}
	r.blocks = append(r.blocks, b)
}

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

func (b *reliefBlock) top(v reliefView) float64 {
	if v.bare {
		return b.bareM + v.upM + v.curve*b.mostM2
	}
	return b.topM + v.upM + v.curve*b.mostM2
}

// horizons returns the points with the largest q/x and q/y, the horizons of A
// and of B, and false where no point comes up to the ray.
func (r *relief) horizons(v reliefView) (a, b reliefPoint, blocked bool) {
	// A point just under the ray, far from both ends: any that comes up beats it.
	a, b = reliefPoint{qM: -1, xM: 1}, reliefPoint{qM: -1, yM: 1}
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
	for k := range r.blocks {
		block := &r.blocks[k]
		top := block.top(v)
		if !(top >= 0) || !(top*a.xM > a.qM*block.nearM) && !(top*b.yM > b.qM*block.farM) {
			continue
		}
		for i := block.from; i < block.to; i++ {
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
		return reliefPoint{}, reliefPoint{}, false
	}
	r.seeds = [2]int{a.i, b.i}
	return a, b, true
}

// closeness orders points by q|q|/(x y): by their height above the ray in
// Fresnel radii, which grows with it. It is kept as a fraction, so that two are
// compared crosswise without root or division.
type closeness struct{ square, m2 float64 }

func (c closeness) above(d closeness) bool { return c.square*d.m2 > d.square*c.m2 }

func (p *reliefPoint) closeness() closeness { return closeness{p.qM * math.Abs(p.qM), p.xM * p.yM} }

// bound is a closeness that no point of the block surpasses.
func (b *reliefBlock) bound(v reliefView) closeness {
	if top := b.top(v); top < 0 {
		return closeness{-top * top, b.mostM2}
	} else {
		return closeness{top * top, b.leastM2}
	}
}

// closenessOfNu is the closeness at which ν has a value:
// ν² = 2 d q²/(λ x y), with the sign of q.
func (r *relief) closenessOfNu(nu, wavelengthM float64) closeness {
	return closeness{nu * math.Abs(nu) * wavelengthM, 2 * r.lengthM}
}

// anyCloseness is below every point's.
var anyCloseness = closeness{-1, 0}

// closest returns the point of largest closeness among the inner points from
// index from on and before index to, and false where none is above the floor.
func (r *relief) closest(v reliefView, from, to int, floor closeness) (best reliefPoint, found bool) {
	at := 0
	for k := range r.blocks {
		block := &r.blocks[k]
		if !block.bound(v).above(floor) {
			continue
		}
		for i := max(block.from, from); i < min(block.to, to); i++ {
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

// stretchAbove is the length of the path, m, over which the ground is above a
// closeness: each point stands for half the way to both its neighbours.
func (r *relief) stretchAbove(v reliefView, limit closeness) (stretchM float64) {
	for k := range r.blocks {
		block := &r.blocks[k]
		if !block.bound(v).above(limit) {
			continue
		}
		for i := block.from; i < block.to; i++ {
			if p := r.point(i, v); p.closeness().above(limit) {
				stretchM += (r.distM[i+1] - r.distM[i-1]) / 2
			}
		}
	}
	return stretchM
}
