package coverage

import "math"

// lowestNu is how far below the line of sight a point is still looked for: its
// loss is zero from -0.78 down, and errors of the terrain may lift it that much.
const lowestNu = -2.5

// look finds the edge that the far ground makes for a receiver riseM above the pole's
// antenna at sample i of the ray: Bullington's construction, ITU-R P.526-15 §4.5.1
// (P.1812-6 eq 12-20), in the flattened frame. Behind an obstacle it has two horizons, in
// line of sight the point nearest to the line. And it finds what stands highest over the
// straight line without the earth's curve, P.1812-6 eq 87-89, for the smooth earth's
// antenna heights.
func (l *lanes) look(k int, j *judge, r *ray, i int, riseM float64) {
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
		w := r.upper.walls(d, riseM, bare, j.set.antennaM, j.set.curve)
		l.farA[k], l.farB[k] = float32(a), w.flat+float32(bare)
		l.farX[k], l.farR[k] = float32(r.timD), float32(d)-w.at
		if alpha := r.obt - bare; alpha > 0 {
			l.alpha[k], l.beta[k], l.over[k] = float32(alpha), w.bare+float32(bare), w.over
		}
		return
	}
	at, q := r.nearest(sight{j.set.antennaM, slope, d}, lowestNu*lowestNu/(j.perWave*d))
	if at < 0 {
		l.farX[k], l.farR[k] = float32(d/2), float32(d/2)
		return
	}
	l.farQ[k], l.farX[k], l.farR[k] = float32(q), float32(r.dist[at]), float32(d-r.dist[at])
}

const infinite = math.MaxFloat32

// join takes the near ground of a lane into the edge of the far one, and finds ν.
//
// With c = 1/(2 ae) the ground at the distance r before B is c r (2d - r) + r direct
// higher over the direct ray than over B's antenna.
func (s *scene) join(l *lanes, i int) {
	d := l.d[i]
	curve := s.curve[0]
	climb := l.rise[i] / d
	direct := climb - curve*d
	a, b, xA, restB := l.farA[i], l.farB[i], l.farX[i], l.farR[i]
	q, at := l.farQ[i], d-l.farR[i] // in line of sight
	for m := range nearSamples {
		r := l.nearR[m][i]
		over := l.nearH[m][i] + r*(curve*(d+d-r)+direct)
		x := d - r
		if up := over / x; up > a {
			a, xA = up, x
		}
		if up := over / r; up > b {
			b, restB = up, r
		}
		if near := over * over / (x * r); near < q {
			q, at = near, x
		}
	}
	behind := a >= 0
	// One ray sees the receiver, the other does not, and between them neither
	// slope wins: the ground just touches the line.
	a, b = max(a, 0), max(b, 0)
	nu := root(s.perWave[0] * d * a * b)
	l.doubt[i] = s.sigmaM[0]
	if !behind {
		a, b, xA, restB = 1, 1, at, d-at
		if nu = -root(s.perWave[0] * d * q); !(nu > lowestNu) {
			nu, l.doubt[i] = lowestNu, 0
		}
	}
	l.climb[i], l.direct[i], l.nu[i], l.a[i], l.b[i] = climb, direct, nu, a, b
	l.xA[i], l.restA[i], l.xB[i], l.restB[i] = xA, d-xA, d-restB, restB
}
