package coverage

// smoothHeights are effective antenna heights over the smooth earth, m. free says
// that the smooth earth surely costs nothing.
type smoothHeights struct {
	a, b float64
	free bool
}

// fit returns the straight line fitted to the bare ground, at both ends, over
// the pole's ground, for a receiver at distance d, 1/perD, on ground over it: P.1812-6
// attachment 1 eq 85-88.
func (a *front) fit(d, perD, over float64) (startM, endM float64) {
	gap := d - a.d
	v1 := a.v1 + gap*(over+a.over)
	v2 := a.v2 + gap*(over*(2*d+a.d)+a.over*(d+2*a.d))
	first, second := v1*perD, v2*perD*perD
	return 2*first - second, second - first
}

// lowered returns by how much an obstruction lowers the fitted line at both
// ends, P.1812-6 eq 87-90: ground above the direct ray, without bulge, to an
// antenna topM above the datum at distance d.
func (a *front) lowered(d, perD, topM, antennaM float64) (startM, endM float64) {
	if len(a.bare.points) == 0 {
		return 0, 0
	}
	slope := (topM - antennaM) * perD
	alpha := a.obt - slope
	if !(alpha > 0) {
		return 0, 0
	}
	over := a.bare.support(slope) - antennaM
	_, beta := a.bare.tangent(d, topM)
	beta += slope
	if !(over > 0 && alpha+beta > 0) {
		return 0, 0
	}
	over /= alpha + beta
	return over * alpha, over * beta
}
