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

// view is what a ray says of the far ground to a receiver beside it.
type view struct {
	slope  float64 // of the direct ray, flattened
	a, b   float64 // slopes of both horizons over the direct ray
	xA, xB float64 // their distances from the pole, m
	nu, x  float64 // of the nearest point in line of sight, if a < 0; x < 0: none down to lowestNu
}

// look asks the ray at sample i for a receiver on ground of that height. It must
// have far ground: more than nearSamples before it.
func (j *judge) look(r *ray, i int, groundM float64, v *view) {
	d := r.dist[i]
	y := groundM + j.rxM - j.set.curve*d*d
	v.slope = (y - j.set.antennaM) / d
	v.a, v.xA = r.tim-v.slope, r.timD
	top, slope := r.upper.tangent(d, y)
	v.b, v.xB = slope+v.slope, top.x
	if v.a < 0 {
		at, q := r.nearest(sight{j.set.antennaM, v.slope, d}, lowestNu*lowestNu/(j.perWave*d))
		v.nu, v.x = -math.Sqrt(j.perWave*d*q), -1
		if at >= 0 {
			v.x = r.dist[at]
		}
	}
}

// edge finds the edge of the path to a receiver a share t of the way from the ray
// of v0 to that of v1. The far ground is that of both rays, each with the
// receiver where it crosses the line of the cell, so that the same number of
// posts lie before it; what they say is interpolated.
func (j *judge) edge(v0, v1 *view, t float64, distM float64, near *nearGround) edge {
	if v0.a < 0 && v1.a < 0 && near.a < 0 {
		return j.clear(v0, v1, t, distM, near)
	}
	v := v0
	if t > 0.5 {
		v = v1
	}
	e := edge{known: true, a: v0.a + t*(v1.a-v0.a), b: v0.b + t*(v1.b-v0.b), xA: v.xA, xB: v.xB}
	if near.a > e.a {
		e.a, e.xA = near.a, near.xA
	}
	if near.b > e.b {
		e.b, e.xB = near.b, near.xB
	}
	// One ray sees the receiver, the other does not, and between them neither
	// slope wins: the ground just touches the line.
	e.a, e.b = max(e.a, 0), max(e.b, 0)
	e.nu = math.Sqrt(j.perWave * distM * e.a * e.b)
	return e
}

// clear is edge where everything says line of sight.
func (j *judge) clear(v0, v1 *view, t float64, distM float64, near *nearGround) edge {
	e := edge{nu: v0.nu + t*(v1.nu-v0.nu), xA: v0.x}
	if t > 0.5 && v1.x >= 0 || v0.x < 0 {
		e.xA = v1.x
	}
	e.known = e.xA >= 0
	quotient, x := near.closest()
	if nu := -math.Sqrt(j.perWave * distM * quotient); nu > e.nu {
		e.nu, e.known, e.xA = nu, true, x
	}
	e.xB = e.xA
	return e
}

// nearGround is what the samples just before a receiver say.
type nearGround struct {
	a, b   float64 // slopes of the horizons over the direct ray, -Inf without samples
	xA, xB float64
	n      int
	points [nearSamples]struct{ over, d, rest float64 } // height over the direct ray; distances from both ends
}

// near looks at the last samples on the own path of a cell, which lies beside
// sample i of the ray at the position x across the axis.
func (j *judge) near(r *ray, c *comb, i int, x, distM, groundM float64) (g nearGround) {
	base := j.set.antennaM
	slope := (groundM + j.rxM - j.set.curve*distM*distM - base) / distM
	riseA, riseB, runA, runB := math.Inf(-1), math.Inf(-1), 1.0, 1.0
	first := max(i-nearSamples, 0)
	aside, per := x-r.cross[i], 1/r.dist[i]
	teeth, cross, dist := c.teeth[first:i], r.cross[first:i], r.dist[first:i]
	for k := range teeth {
		share := dist[k] * per
		at := cross[k] + aside*share
		h, ok := c.quick(&teeth[k], at)
		if !ok {
			if h = c.height(&teeth[k], at); h != h {
				h = r.h[first+k] // filled in, or the ground of the ray
			}
		}
		d := distM * share
		rest := distM - d
		over := h - j.set.curve*d*d - base - slope*d
		// Both are compared crosswise: one division a kind at the end.
		if over*runA > riseA*d {
			riseA, runA = over, d
		}
		if over*runB > riseB*rest {
			riseB, runB = over, rest
		}
		p := &g.points[k]
		p.over, p.d, p.rest = over, d, rest
	}
	g.n = len(teeth)
	g.a, g.b, g.xA, g.xB = riseA/runA, riseB/runB, runA, distM-runB
	return g
}

// closest returns the least (line - y)²/(d (D-d)) in line of sight, +Inf without
// samples, and its distance.
func (g *nearGround) closest() (quotient, x float64) {
	square, width := math.Inf(1), 1.0
	for _, p := range g.points[:g.n] {
		if w := p.d * p.rest; p.over*p.over*width < square*w {
			square, width, x = p.over*p.over, w, p.d
		}
	}
	return square / width, x
}

// alone is the edge of a path so short that the near ground is all.
func (g *nearGround) alone(j *judge, distM float64) edge {
	switch {
	case g.a >= 0:
		return edge{
			known: true, a: g.a, b: g.b, xA: g.xA, xB: g.xB,
			nu: math.Sqrt(j.perWave * distM * g.a * g.b),
		}
	case g.n == 0: // no inner point
		return edge{nu: lowestNu}
	}
	quotient, x := g.closest()
	return edge{nu: max(-math.Sqrt(j.perWave*distM*quotient), lowestNu), known: true, xA: x, xB: x}
}
