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
	bareM, topM     []float64 // the highest of each block above the ray, without and with clutter
	blocks          []reliefBlock
	lengthM         float64
	aHeightM        float64 // antennas above ground
	bHeightM        float64
	sum, moment     float64    // v1, v2 of P.1812-6 eq 85-86 for the bare ground
	highestM        float64    // bare inner ground above the ray, negative below
	level           [2]float64 // h_te, h_re of the ground as it is
	curve           float64    // that gather looked over
	leading         leading
	seeds           [2]int // points that decided the last question, 0 for none
	nearest         int    // the point of least clearance where worst looked, 0 for none
	rivals          reliefRivals
	slopes          reliefSlopes
	reciprocals     reciprocals
	perX, perY      *reciprocalsOf // of this path
	perUnit         float64        // what turns slopes by them into those in metres per metre
}

// leading are the points that decide about the path as it is, 0 for none: the
// horizons of A and of B and the point of least clearance, with bulge and clutter,
// and the horizons of the bare ground without bulge.
type leading struct{ a, b, closest, bareA, bareB int }

// soFar is what gather knows after some blocks: the sums, and what leads, in the
// order of leading.
type soFar struct {
	sum, moment float64
	highest     float64 // above the ray
	most        [5]float64
	at          [5]int
}

// blockPoints is the size of a block: about the square root of a short profile,
// so that looking at all blocks and looking inside one cost alike.
const blockPoints = 8

// gather prepares the relief of a profile. It is the only pass over all points
// and takes neither a root nor a division per point. The sums are those of
// skyline.walk. even says that the points surely are at equal distances.
func (r *relief) gather(p *DiffractionPath, even bool) {
	last := len(p.DistM) - 1
	dist, ground, clutter := p.DistM, p.GroundM[:last+1], p.ClutterM
	d := dist[last]
	blocks := (last - 1 + blockPoints - 1) / blockPoints
	if cap(r.heightM) < len(dist) {
		r.heightM = make([]float64, len(dist), len(dist)+len(dist)/4)
		r.bareM = make([]float64, 0, cap(r.heightM)/blockPoints+1)
	}
	r.distM, r.clutterM, r.heightM, r.bareM = dist, clutter, r.heightM[:len(dist)], r.bareM[:blocks]
	r.lengthM, r.aHeightM, r.bHeightM = d, p.AHeightM, p.BHeightM
	r.curve = 1 / (2 * p.EffectiveRadiusM)
	r.seeds, r.nearest, r.level = [2]int{}, 0, [2]float64{}
	r.rivals.forget()
	r.slopes.forget()
	r.blocks = r.blocks[:0]
	rayA := ground[0] + p.AHeightM
	slope := (ground[last] + p.BHeightM - rayA) / d
	curve := r.curve
	perX, perY, unitM := r.reciprocals.of(dist, even)
	r.perX, r.perY, r.perUnit = perX, perY, 1/unitM

	// Both ends stand below the ray by the height of their antennas.
	x, next := 0.0, dist[1]
	sum := -p.AHeightM * next
	moment := sum * next
	below := math.Inf(-1)
	first := soFar{sum: sum, moment: moment, highest: below}
	for i := range first.most {
		first.most[i] = below
	}
	done := r.gatherQuickly(ground, clutter, slope, rayA, perX, perY, &first)
	sum, moment = first.sum, first.moment
	mostA, mostB, mostClose, mostBareA, mostBareB := first.most[0], first.most[1], first.most[2], first.most[3], first.most[4]
	lead := leading{first.at[0], first.at[1], first.at[2], first.at[3], first.at[4]}
	x, next = dist[done*blockPoints], dist[done*blockPoints+1]
	most := first.highest
	for k := done; k < blocks; k++ {
		from := 1 + k*blockPoints
		to := min(from+blockPoints, last)
		highest := below
		grounds := ground[from:to]
		heights, nexts := r.heightM[from:to][:len(grounds)], dist[from+1 : to+1][:len(grounds)]
		perXs, perRootXs := perX.of[from:to][:len(grounds)], perX.ofRoot[from:to][:len(grounds)]
		perYs, perRootYs := perY.of[last-to+1 : last-from+1][:len(grounds)], perY.ofRoot[last-to+1 : last-from+1][:len(grounds)]
		for i, g := range grounds {
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
			nearA, nearB, back := perXs[i], perYs[len(perYs)-1-i], len(perRootYs)-1-i
			if s := h * nearA; s > mostBareA {
				mostBareA, lead.bareA = s, from+i
			}
			if s := h * nearB; s > mostBareB {
				mostBareB, lead.bareB = s, from+i
			}
			q := h + curve*(x*(d-x))
			if clutter != nil {
				q += clutter[from+i]
			}
			if s := q * nearA; s > mostA {
				mostA, lead.a = s, from+i
			}
			if s := q * nearB; s > mostB {
				mostB, lead.b = s, from+i
			}
			if s := q * (perRootXs[i] * perRootYs[back]); s > mostClose {
				mostClose, lead.closest = s, from+i
			}
		}
		r.bareM[k] = highest
		if highest > most {
			most = highest
		}
	}
	if !(mostA >= 0) {
		lead.a, lead.b = 0, 0
	}
	r.leading = lead
	end := -p.BHeightM * (d - x)
	r.sum, r.moment, r.highestM = sum+end, moment+end*(2*d+x), most
	r.topM = r.bareM
	if clutter != nil {
		r.topM = make([]float64, blocks)
		for k := range r.topM {
			from, to := r.block(k)
			top := below
			for i := from; i < to; i++ {
				top = max(top, r.heightM[i]+clutter[i])
			}
			r.topM[k] = top
		}
	}
}

// block returns the first point of a block and the one after its last.
func (r *relief) block(k int) (from, to int) {
	from = 1 + k*blockPoints
	return from, min(from+blockPoints, len(r.distM)-1)
}

// reliefBlock bounds the places of a block's points.
type reliefBlock struct {
	nearM, farM     float64 // least distance from A, from B
	leastM2, mostM2 float64 // bounds on the product of both distances
}

// shape returns the blocks, found when a question first needs them.
//
// x (d-x) is a parabola: between two places it is nowhere below the lower end, nor
// above the higher one by more than the square of half the way between them.
func (r *relief) shape() []reliefBlock {
	if len(r.blocks) > 0 {
		return r.blocks
	}
	d := r.lengthM
	for k := range r.bareM {
		from, to := r.block(k)
		near, far := r.distM[from], r.distM[to-1]
		first, last, half := near*(d-near), far*(d-far), (far-near)/2
		r.blocks = append(r.blocks, reliefBlock{near, d - far, min(first, last), max(first, last) + half*half})
	}
	return r.blocks
}

// top returns a height that no point of the block exceeds under a view, given the
// highest over the ray.
func (b *reliefBlock) top(highestM float64, v *reliefView) float64 {
	return highestM + v.upM + v.curve*b.mostM2
}

// closest bounds the closeness of the block's points: none surpasses it.
func (b *reliefBlock) closest(highestM float64, v *reliefView) closeness {
	top := b.top(highestM, v)
	if top < 0 {
		return closeness{-top * top, b.mostM2}
	}
	return closeness{top * top, b.leastM2}
}

// tops are the highest points of the blocks under a view.
func (r *relief) tops(v *reliefView) []float64 {
	if v.bare {
		return r.bareM
	}
	return r.topM
}
