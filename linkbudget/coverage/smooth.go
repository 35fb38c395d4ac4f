package coverage

// fit is what the straight line fitted to the bare ground is made of, P.1812-6
// attachment 1 eq 85-86, for a receiver at a sample, as far as it does not depend on
// its own ground, which effectiveHeights adds: the sums over the distance and its
// square, and the part of the distance from the last sample in them.
type fit struct{ first, second, gap float32 }

// fit finds that for all samples from one on.
func (r *ray) fit(from int, set *setting) {
	v1, v2, lastD, lastOver := r.v1, r.v2, r.d, r.over
	dist := r.dist[from:r.n]
	pers, heights, fits := r.per[from:][:len(dist)], r.h[from:][:len(dist)], r.fits[from:][:len(dist)]
	known := r.known - from
	for i, d := range dist {
		per, gap := pers[i], d-lastD
		before, before2 := v1+gap*lastOver, v2+gap*lastOver*(d+2*lastD)
		fits[i] = fit{float32(before * per), float32(before2 * per * per), float32(gap * per)}
		if i < known {
			over := heights[i] - set.groundM
			v1, v2 = before+gap*over, before2+gap*over*(2*d+lastD)
			lastD, lastOver = d, over
		}
	}
	r.v1, r.v2, r.d, r.over = v1, v2, lastD, lastOver
}

// effectiveHeights finds those of the antennas over the smooth earth: over the fitted
// line, over the pole's ground, lowered at both ends by an obstruction and nowhere
// above the ground, P.1812-6 eq 85-90. Where even a ray over the bulge between them
// is plainly clear, the smooth earth costs nothing.
func (s *scene) effectiveHeights(l *lanes, i int) {
	d := l.d[i]
	foot := l.rise[i] + s.footM[0]
	grown := l.gap[i] * foot
	first, second := l.first[i]+grown, l.second[i]+grown*(3-l.gap[i])
	start, end := first+first-second, second-first
	alpha, beta, over := l.alpha[i], l.beta[i], l.over[i]
	slope := l.rise[i] / d
	for m := range nearSamples {
		r := l.nearR[m][i]
		up := l.nearH[m][i] + r*slope
		over = max(over, up)
		alpha, beta = max(alpha, up/(d-r)), max(beta, up/r)
	}
	if sum := alpha + beta; alpha > 0 && over > 0 && sum > 0 {
		over /= sum
		start -= over * alpha
		end -= over * beta
	}
	hA, hB := s.poleM[0]-min(start, 0), s.rxM[0]+foot-min(end, foot)
	need := d*d*s.clearCurve[0] + root(d)*s.clearRoot[0]
	l.hA[i], l.hB[i], l.smooth[i] = hA, hB, 1
	if hA*hB > need*need {
		l.smooth[i] = 0
	}
}
