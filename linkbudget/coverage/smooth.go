package coverage

// fitted hands a lane the sums of the straight line fitted to the bare ground, P.1812-6
// attachment 1 eq 85-86, for a receiver at distance d, 1/perD, as far as they do not
// depend on its own ground: effectiveHeights adds that.
func (l *lanes) fitted(k int, a *front, d, perD float64) {
	gap := d - a.d
	l.first[k] = float32((a.v1 + gap*a.over) * perD)
	l.second[k] = float32((a.v2 + gap*a.over*(d+2*a.d)) * perD * perD)
	l.gap[k] = float32(gap * perD)
}

// obstructed hands it what of the far ground stands highest over the straight line
// between the antennas without the earth's curve, P.1812-6 eq 87-89: to an antenna riseM
// above the pole's.
func (l *lanes) obstructed(k int, a *front, d, perD, riseM, antennaM float64) {
	slope := riseM * perD
	alpha := a.obt - slope
	if !(alpha > 0) || len(a.bare.points) == 0 {
		l.alpha[k], l.beta[k], l.over[k] = 0, noGround, noGround
		return
	}
	_, back := a.bare.tangent(d, antennaM+riseM)
	l.alpha[k], l.beta[k], l.over[k] = float32(alpha), float32(back+slope), float32(a.bare.support(slope)-antennaM)
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
