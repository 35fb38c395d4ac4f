package coverage

import "math"

// receiver is an antenna at a distance from the pole.
type receiver struct {
	distM   float64
	groundM float64 // above the datum
	topM    float64 // the antenna above the datum
	y       float64 // the antenna, flattened
}

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

// spot is where a cell lies between two rays.
type spot struct {
	rays   [2]*ray
	comb   *comb
	sample int32   // of both rays on that line
	t      float64 // share of the way from the first ray to the second
	distM  float64
}

// edge finds the edge of the path to a receiver of that height. The far ground
// is that of both rays, each with the receiver where it crosses the line of the
// cell, so that the same number of posts lie before it; what they say is
// interpolated.
func (j *judge) edge(s *spot, rx *[2]receiver, own *receiver) edge {
	base := j.set.antennaM
	near := j.near(s, own)
	last := s.sample - 1 - nearSamples
	if last < 0 {
		return near.alone(j, own)
	}
	r0, r1 := s.rays[0], s.rays[1]
	slope0, slope1 := (rx[0].y-base)/rx[0].distM, (rx[1].y-base)/rx[1].distM
	a0, a1 := float64(r0.tim[last])-slope0, float64(r1.tim[last])-slope1
	r := r0
	if s.t > 0.5 {
		r = r1
	}
	if a0 < 0 && a1 < 0 && near.a < 0 {
		return j.clear(s, rx, own, last, &near, slope0, slope1)
	}
	k0 := r0.upper.tangent(r0.dist, r0.y, last, rx[0].distM, rx[0].y)
	k1 := r1.upper.tangent(r1.dist, r1.y, last, rx[1].distM, rx[1].y)
	b0 := (float64(r0.y[k0])-rx[0].y)/(rx[0].distM-float64(r0.dist[k0])) + slope0
	b1 := (float64(r1.y[k1])-rx[1].y)/(rx[1].distM-float64(r1.dist[k1])) + slope1
	k := k0
	if s.t > 0.5 {
		k = k1
	}
	iA := r.timAt[last]
	e := edge{known: true, a: a0 + s.t*(a1-a0), b: b0 + s.t*(b1-b0), xA: float64(r.dist[iA]), xB: float64(r.dist[k])}
	if near.a > e.a {
		e.a, e.xA = near.a, near.xA
	}
	if near.b > e.b {
		e.b, e.xB = near.b, near.xB
	}
	// One ray sees the receiver, the other does not, and between them neither
	// slope wins: the ground just touches the line.
	e.a, e.b = max(e.a, 0), max(e.b, 0)
	e.nu = math.Sqrt(j.perWave * own.distM * e.a * e.b)
	return e
}

// clear is edge where everything says line of sight.
func (j *judge) clear(s *spot, rx *[2]receiver, own *receiver, last int32, near *nearGround, slope0, slope1 float64) edge {
	base := j.set.antennaM
	limit := func(d float64) float64 { return lowestNu * lowestNu / (j.perWave * d) }
	d0, d1 := rx[0].distM, rx[1].distM
	at0, q0 := s.rays[0].nearest(sight{base, slope0, d0}, last, limit(d0))
	at1, q1 := s.rays[1].nearest(sight{base, slope1, d1}, last, limit(d1))
	nu0, nu1 := -math.Sqrt(j.perWave*d0*q0), -math.Sqrt(j.perWave*d1*q1)
	e := edge{nu: nu0 + s.t*(nu1-nu0)}
	r, at := s.rays[0], at0
	if s.t > 0.5 && at1 >= 0 || at0 < 0 {
		r, at = s.rays[1], at1
	}
	if at >= 0 {
		e.known, e.xA = true, float64(r.dist[at])
	}
	if nu := -math.Sqrt(j.perWave * own.distM * near.quotient); nu > e.nu {
		e.nu, e.known, e.xA = nu, true, near.xQ
	}
	e.xB = e.xA
	return e
}

// nearGround is what the samples just before a receiver say.
type nearGround struct {
	a, b         float64 // slopes of the horizons over the direct ray, -Inf without samples
	xA, xB       float64
	quotient, xQ float64 // least (line - y)²/(d (D-d)) in line of sight, +Inf without
}

func (j *judge) near(s *spot, own *receiver) nearGround {
	riseA, riseB, square := math.Inf(-1), math.Inf(-1), math.Inf(1)
	runA, runB, width, xQ := 1.0, 1.0, 1.0, 0.0
	slope := (own.y - j.set.antennaM) / own.distM
	r0, r1 := s.rays[0], s.rays[1]
	first := max(s.sample-nearSamples, 0)
	cross0, cross1 := r0.cross[first:s.sample], r1.cross[first:s.sample]
	dist0, dist1 := r0.dist[first:s.sample], r1.dist[first:s.sample]
	for i, tooth := range s.comb.teeth[first:s.sample] {
		h := s.comb.height(&tooth, cross0[i]+s.t*(cross1[i]-cross0[i]))
		if h != h {
			k := int(first) + i
			h = float64(r0.h[k]) + s.t*float64(r1.h[k]-r0.h[k]) // filled, or the ground of a neighbour
		}
		d := float64(dist0[i]) + s.t*float64(dist1[i]-dist0[i])
		rest := own.distM - d
		q := h - j.set.curve*d*d - j.set.antennaM - slope*d // over the direct ray
		// All three are compared crosswise: one division a kind at the end.
		if q*runA > riseA*d {
			riseA, runA = q, d
		}
		if q*runB > riseB*rest {
			riseB, runB = q, rest
		}
		if w := d * rest; q*q*width < square*w {
			square, width, xQ = q*q, w, d
		}
	}
	return nearGround{riseA / runA, riseB / runB, runA, own.distM - runB, square / width, xQ}
}

// alone is the edge of a path so short that the near ground is all.
func (n *nearGround) alone(j *judge, own *receiver) edge {
	switch {
	case n.a >= 0:
		return edge{
			known: true, a: n.a, b: n.b, xA: n.xA, xB: n.xB,
			nu: math.Sqrt(j.perWave * own.distM * n.a * n.b),
		}
	case math.IsInf(n.a, -1): // no inner point
		return edge{nu: lowestNu}
	}
	return edge{nu: max(-math.Sqrt(j.perWave*own.distM*n.quotient), lowestNu), known: true, xA: n.xQ, xB: n.xQ}
}
