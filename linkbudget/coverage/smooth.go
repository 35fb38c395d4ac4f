package coverage

// fit returns the straight line fitted to the bare ground, at both ends, over
// the pole's ground: P.1812-6 attachment 1 eq 85-88.
func (r *ray) fit(rx *receiver, last int32, groundM float64) (startM, endM float64) {
	var v1, v2, d0, h0 float64
	if last >= 0 {
		v1, v2, d0, h0 = r.v1[last], r.v2[last], float64(r.dist[last]), float64(r.h[last])-groundM
	}
	d, h := rx.distM, rx.groundM-groundM
	v1 += (d - d0) * (h + h0)
	v2 += (d - d0) * (h*(2*d+d0) + h0*(d+2*d0))
	perD2 := 1 / (d * d)
	return (2*v1*d - v2) * perD2, (v2 - v1*d) * perD2
}

// lowered returns by how much an obstruction lowers the fitted line at both
// ends, P.1812-6 eq 87-90: ground above the direct ray, without bulge.
func (r *ray) lowered(rx *receiver, last int32, antennaM float64) (startM, endM float64) {
	if last < 0 {
		return 0, 0
	}
	slope := (rx.topM - antennaM) / rx.distM
	a := float64(r.obt[last]) - slope
	if !(a > 0) {
		return 0, 0
	}
	top := r.bare.support(r.dist, r.h, last, slope)
	over := float64(r.h[top]) - antennaM - slope*float64(r.dist[top])
	j := r.bare.tangent(r.dist, r.h, last, rx.distM, rx.topM)
	b := (float64(r.h[j])-rx.topM)/(rx.distM-float64(r.dist[j])) + slope
	if !(over > 0 && a+b > 0) {
		return 0, 0
	}
	return over * a / (a + b), over * b / (a + b)
}
