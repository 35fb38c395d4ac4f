package diffraction

// The second derivation that the relief is held against: one plain walk over all points.

// walkedDeltaBullington is deltaBullington by the walk.
func walkedDeltaBullington(p Path) Loss {
	var sky skyline
	sky.walk(&p)
	d := p.DistM[len(p.DistM)-1]
	edge := sky.horizons.point(d, p.wavelengthM())
	hA, hB := sky.effectiveHeights(d, p.AHeightM, p.BHeightM)
	var out Loss
	p.sum(&out, edge, hA, hB)
	p.Complete(&out)
	return out
}

// WalkedDeltaBullington is the same for the tests outside the package.
var WalkedDeltaBullington = walkedDeltaBullington

// skyline is all that delta-Bullington needs to know of a profile, gathered in
// one walk. Heights are measured from the direct ray between the antennas.
type skyline struct {
	horizons // bulge and clutter included

	sum, moment float64 // v1, v2 of P.1812-6 eq 85-86 for the bare ground

	// The ground that stands above the direct ray, without bulge and clutter
	// (P.1812-6 eq 87): the highest, and the steepest seen from A and B.
	obstructionM float64
	obstA, obstB slopeOf
}

// walk gathers the skyline.
//
// Eq 85-86 add up trapezoids, v1 += Δ(h+h') and v2 += Δ(h(2x+x') + h'(x+2x')).
// Sorted by point instead, with x', x, x" three distances in a row, a height
// counts (x"-x') in v1 and (x"-x')(x'+x+x") in v2.
func (s *skyline) walk(p *Path) {
	last := len(p.DistM) - 1
	dist, ground, clutter := p.DistM, p.GroundM[:last+1], p.ClutterM
	d := dist[last]
	rayA := ground[0] + p.AHeightM
	slope := (ground[last] + p.BHeightM - rayA) / d
	curve := 1 / (2 * p.EffectiveRadiusM)

	*s = skyline{obstA: slopeOf{0, 1}, obstB: slopeOf{0, 1}}
	s.qq = 1 // over qqXY = 0: above any q²/(xy)

	// Both ends stand below the ray by the height of their antennas.
	x, next := 0.0, dist[1]
	sum := -p.AHeightM * next
	moment := sum * next
	for i, ground := range ground[1:last] {
		prev := x
		x = next
		next = dist[i+2]
		y := d - x
		height := ground - rayA - slope*x

		part := height * (next - prev)
		sum += part
		moment += part * (prev + x + next)

		if height > 0 {
			if height > s.obstructionM {
				s.obstructionM = height
			}
			if height*s.obstA.den > s.obstA.num*x {
				s.obstA = slopeOf{height, x}
			}
			if height*s.obstB.den > s.obstB.num*y {
				s.obstB = slopeOf{height, y}
			}
		}

		xy := x * y
		q := height + curve*xy
		if clutter != nil {
			q += clutter[i+1]
		}
		if q < 0 {
			if !s.blocked && q*q*s.qqXY < s.qq*xy {
				s.qq, s.qqXY, s.qX = q*q, xy, x
			}
			continue
		}
		if !s.blocked {
			s.blocked = true
			s.a, s.b = slopeOf{q, x}, slopeOf{q, y}
			continue
		}
		if q*s.a.den > s.a.num*x {
			s.a = slopeOf{q, x}
		}
		if q*s.b.den > s.b.num*y {
			s.b = slopeOf{q, y}
		}
	}
	end := -p.BHeightM * (d - x)
	s.sum = sum + end
	s.moment = moment + end*(2*d+x)
}

// effectiveHeights returns how high the antennas stand above the smooth surface
// fitted to the ground: h_te = h_ts - h_std and h_re = h_rs - h_srd of P.1812-6
// attachment 1 §5.6 (eq 85-91). A straight line fitted to heights above the ray
// is the line fitted to the heights, less the ray: so h_st - h_ts comes out
// directly and no datum enters. Never less than the antenna above ground.
func (s *skyline) effectiveHeights(distM, aHeightM, bHeightM float64) (hA, hB float64) {
	fitA := (2*s.sum*distM - s.moment) / (distM * distM)
	fitB := (s.moment - s.sum*distM) / (distM * distM)
	if s.obstructionM > 0 {
		// An obstruction lowers the surface, more at the end it hides more.
		a, b := s.obstA.value(), s.obstB.value()
		fitA -= s.obstructionM * a / (a + b)
		fitB -= s.obstructionM * b / (a + b)
	}
	return max(-fitA, aHeightM), max(-fitB, bHeightM)
}
