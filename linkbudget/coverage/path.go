package coverage

import "math"

// edge is Bullington's construction of ITU-R P.526-15 §4.5.1 (P.1812-6 eq
// 12-20) in the flattened frame: behind an obstacle two horizons, in line of
// sight the point nearest to the line.
type edge struct {
	nu     float64
	known  bool    // whether there is an edge, down to lowestNu
	a, b   float64 // slopes of both horizons over the direct ray; only if nu > 0
	xA, xB float64 // their distances from the pole, m; equal in line of sight
}

// lowestNu is how far below the line of sight a point is still looked for: its
// loss is zero from -0.78 down, and errors of the terrain may lift it that much.
const lowestNu = -2.5

// nearSamples is how many samples before the receiver are looked at on the
// cell's own path. So close, half a post to the side is a large part of the way,
// and the ground of the rays beside it would not do.
const nearSamples = 3

// look finds the edge that the far ground makes for a receiver on ground of that
// height at sample i of the ray. There must be far ground: more than nearSamples
// before it.
func (j *judge) look(r *ray, i int, groundM float64, e *edge) {
	d := r.dist[i]
	y := groundM + j.rxM - j.set.curve*d*d
	slope := (y - j.set.antennaM) / d
	if e.a = r.tim - slope; e.a < 0 {
		at, q := r.nearest(sight{j.set.antennaM, slope, d}, lowestNu*lowestNu/(j.perWave*d))
		e.nu, e.known = -math.Sqrt(j.perWave*d*q), at >= 0
		if e.known {
			e.xA, e.xB = r.dist[at], r.dist[at]
		}
		return
	}
	top, back := r.upper.tangent(d, y)
	e.nu, e.known, e.b, e.xA, e.xB = 0, true, back+slope, r.timD, top.x
}

// join takes the near ground into the edge of the far one, and finds ν.
func (e *edge) join(near *nearGround, distM, perWave float64) {
	if e.nu < 0 {
		if near.a < 0 {
			quotient, k := near.closest()
			if nu := -math.Sqrt(perWave * distM * quotient); nu > e.nu {
				e.nu, e.known, e.xA = nu, true, near.d[k]
				e.xB = e.xA
			}
			return
		}
		// Only the near ground stands in the way, the far horizons are lower.
		e.a, e.b = near.a, near.b
		e.xA, e.xB = near.d[near.kA], near.d[near.kB]
	}
	e.known = true
	if near.a > e.a {
		e.a, e.xA = near.a, near.d[near.kA]
	}
	if near.b > e.b {
		e.b, e.xB = near.b, near.d[near.kB]
	}
	// One ray sees the receiver, the other does not, and between them neither
	// slope wins: the ground just touches the line.
	e.a, e.b = max(e.a, 0), max(e.b, 0)
	e.nu = math.Sqrt(perWave * distM * e.a * e.b)
}

// nearGround is what the samples just before a receiver say: their heights over
// the direct ray and their distances from both ends.
type nearGround struct {
	n             int
	over, d, rest [nearSamples]float64
	a, b          float64 // steepest slopes of the horizons over the direct ray, -Inf without samples
	kA, kB        int     // which sample is it
	unknown       bool    // whether one of the samples has no height
}

// near looks at the last samples on the own path of a cell, which lies beside
// sample i of the ray at the position x across the axis.
func (j *judge) near(r *ray, c *comb, i int, x, distM, groundM float64, g *nearGround) {
	base, curve := j.set.antennaM, j.set.curve
	slope := (groundM + j.rxM - curve*distM*distM - base) / distM
	first := max(i-nearSamples, 0)
	aside, per := x-r.cross[i], 1/r.dist[i]
	teeth, cross, dist := c.teeth[first:i], r.cross[first:i], r.dist[first:i]
	a, b := math.Inf(-1), math.Inf(-1)
	kA, kB := 0, 0
	g.unknown = false
	for k := range teeth {
		share := dist[k] * per
		at := cross[k] + aside*share
		h, ok := c.quick(&teeth[k], at)
		if !ok {
			if h = c.height(&teeth[k], at); h != h {
				h = r.h[first+k] // filled in, or the ground of the ray
			}
			g.unknown = g.unknown || h != h
		}
		d := distM * share
		rest := distM - d
		over := h - curve*d*d - base - slope*d
		g.over[k], g.d[k], g.rest[k] = over, d, rest
		sA, sB := over/d, over/rest
		if sA > a {
			kA = k
		}
		if sB > b {
			kB = k
		}
		a, b = max(a, sA), max(b, sB)
	}
	g.n, g.a, g.b, g.kA, g.kB = len(teeth), a, b, kA, kB
}

// closest returns the least (line - y)²/(d (D-d)) in line of sight, +Inf without
// samples, and which sample has it.
func (g *nearGround) closest() (quotient float64, k int) {
	quotient = math.Inf(1)
	for i := range g.n {
		if q := g.over[i] * g.over[i] / (g.d[i] * g.rest[i]); q < quotient {
			quotient, k = q, i
		}
	}
	return quotient, k
}

// alone sets the edge of a path so short that the near ground is all.
func (e *edge) alone(g *nearGround, distM, perWave float64) {
	*e = edge{nu: lowestNu}
	switch {
	case g.a >= 0:
		e.known, e.a, e.b, e.xA, e.xB = true, g.a, g.b, g.d[g.kA], g.d[g.kB]
		e.nu = math.Sqrt(perWave * distM * g.a * g.b)
	case g.n > 0:
		quotient, k := g.closest()
		e.known, e.nu, e.xA, e.xB = true, max(-math.Sqrt(perWave*distM*quotient), lowestNu), g.d[k], g.d[k]
	}
}
