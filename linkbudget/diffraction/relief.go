package diffraction

import "math"

// Relief is the ground of one path prepared for many questions: other air,
// ground off by the terrain model's error, other limits. Its points are gathered in
// blocks, of which most are ruled out by their highest point. The answers are those of a
// walk over all points.
//
// A Relief is scratch memory: Gather fills it anew for each path, and before it all other
// methods panic. It is not safe for concurrent use.
type Relief struct {
	distM, groundM, clutterM []float64 // of the profile, which must stay as it is
	heightM                  []float64 // of the bare ground above the direct ray
	bareM, topM              []float64 // the highest of each block above the ray, without and with clutter
	talls                    []float64 // memory of topM
	blocks                   []reliefBlock
	lengthM                  float64
	aHeightM, bHeightM       float64      // antennas above ground
	sum, moment              float64      // v1, v2 of P.1812-6 eq 85-86 for the bare ground
	highestM                 float64      // bare inner ground above the ray, negative below
	errors                   groundErrors // of the terrain model along this path
	effective                [2]float64   // h_te, h_re of the ground as it is
	curve                    float64      // half the curvature of the earth as it is
	seeds                    [2]int       // points that decided the last question, 0 for none
	closestAt                int          // the point of least clearance, 0 for none or not yet asked
	nearest                  int          // the point of least clearance where worst looked, 0 for none
	later                    standsLater
}

// reliefBlock bounds the places of a block's points and the error of its ground.
type reliefBlock struct {
	nearM, farM     float64 // least distance from A, from B
	leastM2, mostM2 float64 // bounds on the product of both distances
	errorM          float64 // bound on the standard deviation of the ground's error
}

// blockPoints is the size of a block: about the square root of a short profile.
const blockPoints = 8

// Release lets go of the profile.
func (r *Relief) Release() {
	r.distM, r.groundM, r.clutterM, r.later.teller = nil, nil, nil, nil
}

// Gather prepares the relief of a profile. It is the only pass over all points
// and takes neither a root nor a division per point. The sums are v1 and v2 of P.1812-6
// eq 85-86, sorted by point.
func (r *Relief) Gather(p *Path, e TerrainError) {
	last := len(p.DistM) - 1
	dist, ground := p.DistM, p.GroundM[:last+1]
	d := dist[last]
	r.reserve(last + 1)
	r.distM, r.groundM = dist, ground
	r.lengthM, r.aHeightM, r.bHeightM = d, p.AHeightM, p.BHeightM
	r.curve = 1 / (2 * p.EffectiveRadiusM)
	r.errors.mostM, r.errors.perM = e.Form()
	rayA := ground[0] + p.AHeightM
	slope := (ground[last] + p.BHeightM - rayA) / d

	// Both ends stand below the ray by the height of their antennas.
	x, next := 0.0, dist[1]
	sum := -p.AHeightM * next
	moment := sum * next
	most, heights := math.Inf(-1), r.heightM
	blocks, tops := r.blocks[:cap(r.blocks)], r.bareM[:cap(r.bareM)]
	k := 0
	for from := 1; from < last; from += blockPoints {
		to := min(from+blockPoints, last)
		highest := math.Inf(-1)
		grounds := ground[from:to]
		out, nexts := heights[from:to][:len(grounds)], dist[from+1 : to+1][:len(grounds)]
		nearM := next
		for i, g := range grounds {
			prev := x
			x = next
			next = nexts[i]
			h := g - rayA - slope*x
			out[i] = h
			part := h * (next - prev)
			sum += part
			moment += part * (prev + x + next)
			if h > highest {
				highest = h
			}
		}
		tops[k] = highest
		// x (d-x) is a parabola: between two places it is nowhere below the lower end,
		// nor above the higher one by more than the square of half the way between them.
		first, last, half := nearM*(d-nearM), x*(d-x), (x-nearM)/2
		block := &blocks[k] // field by field: a struct just written is slow to copy
		block.nearM, block.farM, block.leastM2, block.mostM2 = nearM, d-x, first, last+half*half
		if last < first {
			block.leastM2, block.mostM2 = last, first+half*half
		}
		block.errorM = r.errors.bound(x, d-nearM)
		k++
		if highest > most {
			most = highest
		}
	}
	r.blocks, r.bareM = blocks[:k], tops[:k]
	end := -p.BHeightM * (d - x)
	r.sum, r.moment, r.highestM = sum+end, moment+end*(2*d+x), most
	r.Stand(p.ClutterM)
}

// Stand puts something else on the ground gathered, as long as the profile; nil for nothing.
func (r *Relief) Stand(clutterM []float64) {
	r.clutterM, r.topM, r.later.teller = clutterM, r.bareM, nil
	r.seeds, r.closestAt, r.nearest = [2]int{}, 0, 0
	if clutterM == nil {
		return
	}
	r.talls = r.talls[:0]
	for k := range r.bareM {
		r.talls = append(r.talls, r.tallest(k))
	}
	r.topM = r.talls
}

// tallest is the highest point of a block, with what stands on it.
func (r *Relief) tallest(k int) float64 {
	from, to := r.block(k)
	top := math.Inf(-1)
	for i, h := range r.heightM[from:to] {
		top = max(top, h+r.clutterM[from+i])
	}
	return top
}

// reserve makes room for so many points.
func (r *Relief) reserve(points int) {
	if cap(r.heightM) < points {
		room := points + points/4
		r.heightM = make([]float64, room)
		r.bareM = make([]float64, 0, room/blockPoints+1)
		r.blocks = make([]reliefBlock, 0, room/blockPoints+1)
	}
	r.heightM = r.heightM[:points]
}

// block returns the first point of a block and the one after its last.
func (r *Relief) block(k int) (from, to int) {
	from = 1 + k*blockPoints
	return from, min(from+blockPoints, len(r.distM)-1)
}

// top returns a height that no point of the block exceeds under a view, given the
// highest over the ray.
func (b *reliefBlock) top(highestM float64, v *reliefView) float64 {
	return highestM + v.curve*b.mostM2
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
func (r *Relief) tops(v *reliefView) []float64 {
	if v.bare {
		return r.bareM
	}
	return r.topM
}
