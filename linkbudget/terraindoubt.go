package linkbudget

import "math"

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
// is off by up to 0.27 σ (a test compares).
type groundErrors struct {
	mostM, perM, lengthM float64
}

func (g *groundErrors) along(e TerrainError, lengthM float64) {
	g.mostM, g.perM = e.Form()
	g.lengthM = lengthM
}

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

// LevelGroundM is how far the ground must rise or fall towards either side, within two points,
// to count in full as ground, and not as water: far above the rounding of an
// interpolation, far below what land does between two posts. Engineering judgement.
const LevelGroundM = 0.25

// errorM is the standard deviation of the ground at an inner point.
func (r *relief) errorM(i int) float64 {
	x, ground, h := r.distM[i], r.groundM, r.groundM[i]
	before, after := math.Abs(ground[i-1]-h), math.Abs(ground[i+1]-h)
	if i > 1 {
		before = max(before, math.Abs(ground[i-2]-h))
	}
	if i+2 < len(ground) {
		after = max(after, math.Abs(ground[i+2]-h))
	}
	return r.errors.bound(x, r.lengthM-x) * min(min(before, after)*(1/LevelGroundM), 1)
}

// terrainDoubt is the standard deviation of the diffraction loss about its median
// that comes from the terrain model: what one standard deviation of the ground's error
// moves the loss by, at the point where that is most. A point counts as a knife edge
// of its own, with ν = q sqrt(2d/(λxy)) and the loss of bullingtonLoss; and less, the
// more it stays behind the edge that loses most, down to nothing at EdgeBehindDB.
//
// It is not the loss over raised ground less the loss: Bullington's edge turns on the
// angle of a horizon, and where that lies near the antenna a hand's breadth moves it by
// decibels. This is continuous, dies away as clearance grows, and never asks which ground
// decides. The smooth earth's part is left out.
func (m *median) terrainDoubt(wavelengthM float64) DB {
	r := m.relief
	if r.errors.mostM == 0 || len(r.distM) < 3 {
		return 0
	}
	v := reliefView{curve: r.curve}
	last := len(r.distM) - 1
	floor := r.closenessOfNu(LeastEdgeNu, wavelengthM)
	top := reliefPoint{i: r.closestAt}
	if top.i == 0 {
		top, _ = r.closest(&v, 1, last, floor)
	} else {
		top = r.point(top.i, &v)
	}
	if top.i == 0 || !top.closeness().above(floor) {
		return 0
	}
	perWave := 2 * r.lengthM / wavelengthM
	perM := math.Sqrt(perWave / (top.xM * top.yM))
	edge := edgeSlopeAt(top.qM * perM)
	most := edge.knife
	long := (10 + 0.02e-3*r.lengthM) / 6
	if behind := most - EdgeBehindDB; behind > 0 {
		floor = r.closenessOfNu(max(knifeEdgeNu(behind), LeastEdgeNu), wavelengthM)
	}
	// No point is moved by more than cap times what its ν is.
	cap2 := edgeCap(most, long)
	cap2 *= cap2 * perWave
	doubt := r.errorM(top.i) * perM * (edge.slope + long*edge.late) // which nearly decides: most others fall out at once
	for n := range r.blocks {                                       // from both ends inwards: near them an error moves ν most
		k := n / 2
		if n%2 == 1 {
			k = len(r.blocks) - 1 - k
		}
		block := &r.blocks[k]
		error2, nearest := block.errorM*block.errorM*cap2, block.closest(r.topM[k], &v)
		if !(error2 > doubt*doubt*block.leastM2) || !nearest.above(floor) {
			continue
		}
		share := 1.0
		if nearest.square > 0 {
			share = min(1-(most-edgeSlopeAt(math.Sqrt(perWave*nearest.square/nearest.m2)).knife)/EdgeBehindDB, 1)
		}
		highM := block.errorM * share * perHigh(long)
		if low := block.lowM + r.curve*block.leastM2; low*doubt > highM && low*low*perWave > block.mostM2 {
			continue // all of it stands high over the ray
		}
		from, to := r.block(k)
		for i := from; i < to; i++ {
			x := r.distM[i]
			m2 := x * (r.lengthM - x)
			q := r.heightM[i] + r.curve*m2
			if r.clutterM != nil {
				q += r.clutterM[i]
			}
			if !(error2 > doubt*doubt*m2) || q*doubt > highM && q*q*perWave > m2 || !(closeness{q * math.Abs(q), m2}.above(floor)) {
				continue
			}
			perM = math.Sqrt(perWave / m2)
			edge = edgeSlopeAt(q * perM)
			if moves := r.errorM(i) * perM * (edge.slope + long*edge.late) * (1 - (most-edge.knife)/EdgeBehindDB); moves > doubt {
				doubt = moves
			}
		}
	}
	return DB(doubt)
}

// EdgeBehindDB is how far an edge stays behind the one that loses most where errors of its
// height no longer count. Engineering judgement, held to account by the simulation.
const EdgeBehindDB = 20

// LeastEdgeNu is 1.8 first Fresnel radii of clearance, below which an error of the ground
// no longer counts: from ν = -0.3 down it counts less and less, where J itself breaks off
// at -0.78, since an error lifts some of what is just under the limit over it.
const LeastEdgeNu, FullEdgeNu = -2.6, -0.3

// edgeSlope is J(ν), dJ/dν, and dJ/dν exp(-J/6), which is for the second term of
// bullingtonLoss what the first two are for J: both fade out below FullEdgeNu.
type edgeSlope struct{ knife, slope, late float64 }

func newEdgeSlope(nu float64) edgeSlope {
	share := min(max((nu-LeastEdgeNu)/(FullEdgeNu-LeastEdgeNu), 0), 1)
	slope := 20 / math.Ln10 / math.Hypot(nu-0.1, 1) * share * share * (3 - 2*share)
	knife := float64(KnifeEdge(nu))
	return edgeSlope{knife, slope, slope * math.Exp(-knife/6)}
}

// The table of edgeSlope from LeastEdgeNu on, straight lines between; beyond it both terms
// are those of the asymptote, J = 12.95 + 20 log ν.
const edgeSlopesPerNu, edgeSlopesMostNu = 32, 12

var edgeSlopes = func() []edgeSlope {
	var t []edgeSlope
	for nu := float64(LeastEdgeNu); nu <= edgeSlopesMostNu+0.1; nu += 1.0 / edgeSlopesPerNu {
		t = append(t, newEdgeSlope(nu))
	}
	return t
}()

func edgeSlopeAt(nu float64) edgeSlope {
	if nu >= edgeSlopesMostNu {
		return newEdgeSlope(nu)
	}
	at := max((nu-LeastEdgeNu)*edgeSlopesPerNu, 0)
	i := int(at)
	u := at - float64(i)
	a, b := &edgeSlopes[i], &edgeSlopes[i+1]
	return edgeSlope{a.knife + u*(b.knife-a.knife), a.slope + u*(b.slope-a.slope), a.late + u*(b.late-a.late)}
}

// knifeEdgeNu is ν at a loss J above 0, the inverse of KnifeEdge.
func knifeEdgeNu(loss float64) float64 {
	x := math.Pow(10, (loss-6.9)/20)
	return 0.1 + (x-1/x)/2
}

// perHigh over q bounds ν (slope + long·late) over ν = 1: an edge that stands high over the
// ray moves by little. There ν/sqrt((ν-0.1)²+1) is below 1.006, and exp(-J/6) below 0.1.
func perHigh(long float64) float64 { return 20 / math.Ln10 * 1.006 * (1 + 0.1*long) }

// edgeCap bounds (slope + long·late) (1 - (most-knife)/EdgeBehindDB) over all ν.
func edgeCap(most, long float64) float64 {
	c := &edgeCaps[min(int(most), len(edgeCaps)-1)]
	return c.slope + long*c.late
}

// edgeCaps are bounds for losses of an edge from 0 dB on in steps of 1 dB.
var edgeCaps = func() (caps [32]edgeSlope) {
	for i := range caps {
		for _, e := range edgeSlopes {
			if behind := 1 - (float64(i)-e.knife)/EdgeBehindDB; behind > 0 && e.knife <= float64(i)+1.1 {
				behind = min(behind, 1)
				caps[i].slope, caps[i].late = max(caps[i].slope, e.slope*behind), max(caps[i].late, e.late*behind)
			}
		}
	}
	return caps
}()
