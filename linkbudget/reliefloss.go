package linkbudget

import "math"

// edge is the Bullington construction over the relief as it is. Behind an obstacle a and
// b become the horizons of A and B that decide it; in sight they stay.
func (r *relief) edge(a, b *reliefPoint, wavelengthM float64) bullingtonPoint {
	v := reliefView{curve: r.curve}
	h := horizons{qq: 1}
	if h.blocked = r.horizons(a, b, v); h.blocked {
		h.a, h.b = slopeOf{a.qM, a.xM}, slopeOf{b.qM, b.yM}
	} else if r.leading.closest > 0 {
		p := r.point(r.leading.closest, v)
		h.qq, h.qqXY, h.qX = p.qM*p.qM, p.xM*p.yM, p.xM
	}
	return h.point(r.lengthM, wavelengthM)
}

// bullington returns the loss of that construction alone, and what steepest returns. In
// line of sight only points above ν = -0.78 cost anything, and mostly there are none.
func (r *relief) bullington(v reliefView, wavelengthM float64) (loss DB, s slopes, blocked bool) {
	s, blocked = r.steepest(v)
	if blocked {
		return bullingtonLoss(math.Sqrt(2*r.lengthM*s.a*s.b/wavelengthM), r.lengthM), s, true
	}
	p, ok := r.near(v, 1, len(r.distM)-1, r.closenessOfNu(knifeEdgeZeroNu, wavelengthM))
	if !ok {
		return 0, s, false
	}
	h := horizons{qq: p.qM * p.qM, qqXY: p.xM * p.yM, qX: p.xM}
	return bullingtonLoss(h.point(r.lengthM, wavelengthM).nu, r.lengthM), s, false
}

// fitted returns how high both antennas stand above the straight line fitted to
// the ground, all inner ground shifted up; see skyline.effectiveHeights.
//
// A shift adds up·(x"-x') to v1 and up·(x"-x')(x'+x+x") to v2 for each inner
// point; the sums of both fall together to what is left at the ends.
func (r *relief) fitted(upM float64) (hA, hB float64) {
	last := len(r.distM) - 1
	d, first, beforeLast := r.lengthM, r.distM[1], r.distM[last-1]
	sum := r.sum + upM*(d+beforeLast-first)
	moment := r.moment + upM*(d*d+beforeLast*beforeLast-first*first+beforeLast*d)
	return (moment - 2*sum*d) / (d * d), (sum*d - moment) / (d * d)
}

// effectiveHeights are h_te and h_re over the shifted ground, not less than the
// antennas above ground; see skyline.effectiveHeights.
func (r *relief) effectiveHeights(upM float64) (hA, hB float64) {
	hA, hB = r.fitted(upM)
	if obstructionM := r.highestM + upM; obstructionM > 0 {
		s, _ := r.steepest(reliefView{upM: upM, bare: true})
		hA += obstructionM * s.a / (s.a + s.b)
		hB += obstructionM * s.b / (s.a + s.b)
	}
	return max(hA, r.aHeightM), max(hB, r.bHeightM)
}

// diffraction makes d what DeltaBullington returns for the path the relief was
// gathered from, but for what DiffractionPath.complete fills in, and a and b the
// horizons of a path without line of sight.
func (r *relief) diffraction(d *Diffraction, a, b *reliefPoint, p *DiffractionPath) {
	edge := r.edge(a, b, p.wavelengthM())
	hA, hB := r.effectiveHeights(0)
	r.level = [2]float64{hA, hB}
	p.sum(d, edge, hA, hB)
}

// loss returns the diffraction loss of the same path, of which diffraction has been
// asked, with all inner ground shifted up, or over another earth radius, and what
// steepest returns there.
func (r *relief) loss(p *DiffractionPath, radiusM, upM float64) (loss DB, s slopes, blocked bool) {
	wavelengthM := p.wavelengthM()
	loss, s, blocked = r.bullington(reliefView{curve: halfCurvature(radiusM), upM: upM}, wavelengthM)
	var smooth smoothEarthPath // field by field: a struct just written is slow to copy
	smooth.distM, smooth.radiusM, smooth.freqHz, smooth.wavelengthM = r.lengthM, radiusM, p.FreqHz, wavelengthM
	smooth.seaFraction, smooth.polarisation, smooth.land = p.SeaFraction, p.Polarisation, p.land
	if upM == 0 {
		smooth.hAM, smooth.hBM = r.level[0], r.level[1]
	} else {
		// Obstructions only lower the fitted ground: where even without them the
		// smooth path is clear, they need not be looked for.
		hA, hB := r.fitted(upM)
		smooth.hAM, smooth.hBM = max(hA, r.aHeightM), max(hB, r.bHeightM)
		if smooth.plainlyClear() {
			return loss, s, blocked
		}
		smooth.hAM, smooth.hBM = r.effectiveHeights(upM)
	}
	smooth.hAM, smooth.hBM = max(smooth.hAM, minSmoothHeightM), max(smooth.hBM, minSmoothHeightM)
	spherical := smooth.loss()
	if spherical == 0 {
		return loss, s, blocked // the smooth part cannot add anything
	}
	edge := smoothBullington(r.distM, smooth.hAM, smooth.hBM, radiusM, wavelengthM)
	return loss + max(spherical-bullingtonLoss(edge.nu, r.lengthM), 0), s, blocked
}

// freeUpTo reports whether the path surely loses nothing by diffraction with all
// inner ground shifted by upM or by less: nothing comes up to ν = -0.78, and the
// smooth path is plainly clear. With less shift every point lies lower; and
// both antennas stand higher above the fitted line, since fitted falls with the
// shift, by ((d-x1)² + xl (d-xl))/d² at A, x1 and xl the first and the last inner
// distance, and likewise at B.
func (r *relief) freeUpTo(p *DiffractionPath, upM float64) bool {
	wavelengthM := p.wavelengthM()
	smooth := smoothEarthPath{distM: r.lengthM, radiusM: p.EffectiveRadiusM, wavelengthM: wavelengthM}
	hA, hB := r.fitted(upM)
	smooth.hAM, smooth.hBM = max(hA, r.aHeightM), max(hB, r.bHeightM)
	if !smooth.plainlyClear() {
		return false
	}
	v := reliefView{curve: 1 / (2 * p.EffectiveRadiusM), upM: upM}
	limit := r.closenessOfNu(knifeEdgeZeroNu, wavelengthM)
	if r.rivals.answer(v) {
		_, any := r.rivals.closest(v, 1, len(r.distM)-1, limit)
		return !any
	}
	for k, block := range r.shape() {
		if block.closest(r.topM[k], &v).above(limit) {
			return false
		}
	}
	return true
}
