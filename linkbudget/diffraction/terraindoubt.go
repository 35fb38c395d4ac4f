package diffraction

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// TerrainError describes the vertical error of a terrain model: normal, of mean
// zero, at two places correlated by (1 + √3 r) exp(-√3 r), r their distance over
// CorrelationM (Matérn's form of order 3/2: errors drift from post to post and do
// not jump). Level ground counts as water, whose height no model has wrong.
type TerrainError struct {
	// SigmaM is the standard deviation of a height, m; 0 to 50.
	SigmaM float64
	// CorrelationM is the distance at which the correlation of two errors has
	// fallen to a half, m; above 0.
	CorrelationM float64
}

// groundErrors are the errors of the ground along one path against both antennas.
// An antenna stands on the model's ground and errs with it: only what differs from
// the straight line between the errors at both ends changes anything.
//
// With a = 1-x/d, b = x/d and the correlation ρ, the variance at x is
//
//	σ² (1 + a² + b² + 2ab ρ(d) - 2a ρ(x) - 2b ρ(d-x))
//
// It grows from nothing at an antenna as σ √3 x/L and comes to 1.5 σ² in the middle
// of a long path. Both are kept by 1.5 σ² f(x)² f(d-x)², f(x) = t (2-t), t = x/(√2 L),
// at most 1, without a root or an exponential for each point; between them its root
// is off by up to 0.3 σ (a test compares).
type groundErrors struct{ mostM, perM float64 }

// Form returns what the standard deviation of the ground's error against both antennas
// is made of at a place aM from the one and bM from the other: mostM f(aM) f(bM), with
// f = t (2-t) and t = min(perM x, 1).
func (e TerrainError) Form() (mostM, perM float64) {
	return e.SigmaM * math.Sqrt(1.5), 1 / (math.Sqrt2 * e.CorrelationM)
}

// fade is f.
func (g *groundErrors) fade(x float64) float64 {
	t := min(x*g.perM, 1)
	return t * (2 - t)
}

// bound is the most that the standard deviation can be at points no farther than that
// from A and from B.
func (g *groundErrors) bound(aM, bM float64) float64 { return g.mostM * g.fade(aM) * g.fade(bM) }

// LevelGroundM is how far the ground must rise or fall towards either side, within two points
// and 10 m, to count in full as ground, and not as water: far above the rounding of an
// interpolation, far below what land does between two posts. Engineering judgement.
const LevelGroundM = 0.25

// errorM is the standard deviation of the ground at an inner point.
func (r *Relief) errorM(i int) float64 {
	x := r.distM[i]
	return r.errors.bound(x, r.lengthM-x) * min(min(r.rise(i, -1), r.rise(i, 1))*(1/LevelGroundM), 1)
}

// levelWithinM keeps a gentle slope that was surveyed metre by metre from counting as
// water, over at most mostLevel points.
const (
	levelWithinM = 10
	mostLevel    = 100
)

// rise is how far the ground rises or falls from a point on towards one side.
func (r *Relief) rise(i, step int) (most float64) {
	x, h, dist, ground := r.distM[i], r.groundM[i], r.distM, r.groundM
	most = math.Abs(ground[i+step] - h)
	for k, n := i+2*step, 2; n <= mostLevel && k >= 0 && k < len(dist); k, n = k+step, n+1 {
		most = max(most, math.Abs(ground[k]-h))
		if most >= LevelGroundM || math.Abs(dist[k]-x) >= levelWithinM {
			break
		}
	}
	return most
}

// TerrainDoubt is the standard deviation of the diffraction loss about its median
// that comes from the terrain model: how steeply the loss of the Bullington edge rises with ν
// at the edge that loses most, times what one standard deviation of the ground's error
// moves ν by, at the point where that is most. Every point counts as an edge of its own,
// ν = q sqrt(2d/(λxy)); in proportion less, the more it stays behind that edge (behind
// the ray itself where that edge is below), down to nothing at LeastEdgeNu.
// The smooth earth's part is left out.
func (r *Relief) TerrainDoubt(wavelengthM float64) radio.DB {
	if r.errors.mostM == 0 || len(r.distM) < 3 {
		return 0
	}
	v := reliefView{curve: r.curve}
	floor := r.closenessOfNu(LeastEdgeNu, wavelengthM)
	if r.closestAt == 0 { // not yet asked
		p, _ := r.closest(&v, 1, len(r.distM)-1, floor)
		r.closestAt = p.i
	}
	top := r.point(r.closestAt, &v)
	if r.closestAt == 0 || !top.closeness().above(floor) {
		return 0
	}
	perWave := 2 * r.lengthM / wavelengthM
	perM := math.Sqrt(perWave / (top.xM * top.yM))
	topNu := max(top.qM*perM, 0)
	perNu := 1 / (topNu - LeastEdgeNu)
	moves := r.errorM(top.i) * perM * (top.qM*perM - LeastEdgeNu) * perNu
	for n := range r.blocks { // from both ends inwards: near them an error moves ν most
		k := n / 2
		if n%2 == 1 {
			k = len(r.blocks) - 1 - k
		}
		// No point of the block is moved more, or comes nearer.
		block := &r.blocks[k]
		error2, least2 := block.errorM*block.errorM*perWave, moves*moves
		nearest := block.closest(r.topM[k], &v)
		if !(error2 > least2*block.leastM2) || !nearest.above(floor) {
			continue
		}
		mostNu := math.Copysign(math.Sqrt(perWave*math.Abs(nearest.square)/nearest.m2), nearest.square)
		share := (mostNu - LeastEdgeNu) * perNu
		if error2 *= share * share; !(error2 > least2*block.leastM2) {
			continue
		}
		r.settle(k)
		from, to := r.block(k)
		for i := from; i < to; i++ {
			p := r.point(i, &v)
			if m2 := p.xM * p.yM; error2 > moves*moves*m2 && p.closeness().above(floor) {
				perM = math.Sqrt(perWave / m2)
				moves = max(moves, r.errorM(i)*perM*(p.qM*perM-LeastEdgeNu)*perNu)
			}
		}
	}
	return radio.DB(moves * edgeSlope(topNu, r.lengthM))
}

// LeastEdgeNu is 1.8 first Fresnel radii of clearance, below which an error of the ground
// no longer counts. Engineering judgement, held to account by the simulation in the tests.
const LeastEdgeNu = -2.6

// edgeSlope is how steeply bullingtonLoss rises with ν: dJ/dν of P.526-15 eq (31), and
// with it the second term of P.1812-6 eq (21).
func edgeSlope(nu, distM float64) float64 {
	knife := float64(KnifeEdge(nu))
	return dbPerNeper / math.Hypot(nu-0.1, 1) * (1 + (10+0.02e-3*distM)/6*math.Exp(-knife/6))
}
