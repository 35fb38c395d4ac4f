package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget/diffraction"
)

// lowestNu is how far below the line of sight a point is still looked for: its
// loss is zero from -0.78 down, and the doubt of the terrain from there.
const lowestNu = diffraction.LeastEdgeNu

// farEdge finds the edge that the far ground makes for a receiver riseM above the pole's
// antenna at sample i of the ray: Bullington's construction, ITU-R P.526-15 §4.5.1
// (P.1812-6 eq 12-20), in the flattened frame. Behind an obstacle it has two horizons, in
// line of sight the point nearest to the line. And it finds what stands highest over the
// straight line without the earth's curve, P.1812-6 eq 87-89, for the smooth earth's
// antenna heights.
func (l *lanes) farEdge(k int, j *judge, r *ray, i int, riseM float64) {
	l.farA[k], l.farB[k], l.farQ[k] = -1, -1, infinite
	l.alpha[k], l.beta[k], l.over[k] = 0, noGround, noGround
	d := r.dist[i]
	if i <= nearSamples { // no far ground
		l.farX[k], l.farR[k] = float32(d/2), float32(d/2)
		return
	}
	bare := riseM * r.per[i]
	slope := bare - j.set.curve*d
	if a := r.tim - slope; a >= 0 {
		back := r.upper.horizon(d, riseM, bare, j.set.antennaM, j.set.curve)
		l.farA[k], l.farB[k] = float32(a), back.flat+float32(bare)
		l.farX[k], l.farR[k] = float32(r.timD), float32(d)-back.at
		l.farU[k], l.farV[k] = 1, 1
		if r.level {
			l.farU[k], l.farV[k] = r.landA.of(r, float32(r.timD), i), r.landB.of(r, back.at, i)
		}
		if alpha := r.obt - bare; alpha > 0 {
			l.alpha[k], l.beta[k], l.over[k] = float32(alpha), back.bare+float32(bare), back.over
		}
		return
	}
	at, q := r.nearest(sight{j.set.antennaM, slope, d}, lowestNu*lowestNu/(j.perWave*d))
	if at < 0 {
		l.farX[k], l.farR[k] = float32(d/2), float32(d/2)
		return
	}
	l.farQ[k], l.farX[k], l.farR[k], l.farU[k] = float32(q), float32(r.dist[at]), float32(d-r.dist[at]), 1
	if r.level {
		l.farU[k] = r.land(at)
	}
}

// horizonB is the slope from a receiver at sample i back to what the ray knows, over the direct ray, and where that
// stands.
func (r *ray) horizonB(j *judge, i int, riseM float64) (slope, atM float32) {
	bare := riseM * r.per[i]
	back := r.upper.horizon(r.dist[i], riseM, bare, j.set.antennaM, j.set.curve)
	return back.flat + float32(bare), back.at
}

// land is how far a sample is ground and not level water, 0 to 1: how much it rises or
// falls towards either side within two samples, as linkbudget has it.
func (r *ray) land(i int) float32 {
	h := r.h[i]
	side := func(step int) (most float64) {
		for k := 1; k <= 2; k++ {
			if n := i + k*step; n >= 0 && n < r.n {
				most = max(most, math.Abs(r.h[n]-h))
			}
		}
		return most
	}
	return float32(min(min(side(-1), side(1))*(1/diffraction.LevelGroundM), 1))
}

// landMemo is the land at the distance that was asked for last: neighbours ask for the same.
type landMemo struct{ distM, land float32 }

// of is the land at a distance, which is that of one of the samples before sample i.
func (m *landMemo) of(r *ray, distM float32, i int) float32 {
	if m.distM != distM {
		m.distM, m.land = distM, r.land(r.sampleAt(float64(distM), i))
	}
	return m.land
}

// sampleAt is the sample at a distance, which is one of those before sample i.
func (r *ray) sampleAt(distM float64, i int) int {
	n := min(max(int(distM*r.per[i]*float64(i)), 0), i-1)
	for n+1 < i && r.dist[n+1]-distM <= distM-r.dist[n] {
		n++
	}
	for n > 0 && distM-r.dist[n-1] <= r.dist[n]-distM {
		n--
	}
	return n
}

// sampleBefore is the sample before another at a distance from the pole.
func (r *ray) sampleBefore(i int, distM float64) int {
	d := r.dist[:i]
	n := min(max(i-1-int((d[i-1]-distM)/(d[i-1]-d[i-2])+0.5), 0), i-1)
	for n+1 < i && d[n+1]-distM <= distM-d[n] {
		n++
	}
	for n > 0 && distM-d[n-1] <= d[n]-distM {
		n--
	}
	return n
}

const infinite = math.MaxFloat32

// edge takes the near ground of a lane into the edge of the far one, and finds ν.
//
// With c = 1/(2 ae) the ground at the distance r before B is c r (2d - r) + r direct
// higher over the direct ray than over B's antenna.
func (s *constants) edge(l *lanes, i int) {
	d := l.d[i]
	curve := s.curve[0]
	climb := l.rise[i] / d
	direct := climb - curve*d
	a, b, xA, restB := l.farA[i], l.farB[i], l.farX[i], l.farR[i]
	q, at := l.farQ[i], d-l.farR[i] // in line of sight
	landA, landB, landQ := l.farU[i], l.farV[i], l.farU[i]
	near := max(magnitude(l.nearH[0][i]-l.nearH[1][i]), magnitude(l.nearH[1][i]-l.nearH[2][i]))
	near = min(near*(1/diffraction.LevelGroundM), 1)
	for m := range nearSamples {
		r := l.nearR[m][i]
		over := l.nearH[m][i] + r*(curve*(d+d-r)+direct)
		x := d - r
		if up := over / x; up > a {
			a, xA, landA = up, x, near
		}
		if up := over / r; up > b {
			b, restB, landB = up, r, near
		}
		if close := over * over / (x * r); close < q {
			q, at, landQ = close, x, near
		}
	}
	behind := a >= 0
	// One ray sees the receiver, the other does not, and between them neither
	// slope wins: the ground just touches the line.
	a, b = max(a, 0), max(b, 0)
	nu := root(s.perWave[0] * d * a * b)
	if !behind {
		a, b, xA, restB, landA, landB = 1, 1, at, d-at, landQ, landQ
		if nu = -root(s.perWave[0] * d * q); !(nu > lowestNu) {
			nu = lowestNu
		}
	}
	l.landA[i], l.landB[i] = landA, landB
	l.climb[i], l.direct[i], l.nu[i], l.a[i], l.b[i] = climb, direct, nu, a, b
	l.xA[i], l.restA[i], l.xB[i], l.restB[i] = xA, d-xA, d-restB, restB
}

// groundEdge is the edge of the ground of a path: the slope of the direct ray and those over it, or how far
// below it as a part of sqrt(x y).
type groundEdge struct{ distM, slope, antennaM, a, b, below float64 }

// under is how far what stands up to y at a distance x rises over it.
func (g *groundEdge) under(y, x float64) float64 {
	rise := y - g.antennaM - g.slope*x
	if g.a >= 0 {
		return rise - min(g.a*x, g.b*(g.distM-x))
	}
	return rise + g.below*math.Sqrt(x*(g.distM-x))
}
