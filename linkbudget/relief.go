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
		grounds := ground[from:to]
		heights, nexts := height[from:to][:len(grounds)], dist[from+1 : to+1][:len(grounds)]
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
