package diffraction

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// edge is the Bullington construction over the relief as it is. Behind an obstacle a and
// b become the horizons of A and B that decide it; in sight they stay.
func (r *Relief) edge(a, b *reliefPoint, wavelengthM float64) bullingtonPoint {
	v := reliefView{curve: r.curve}
	h := horizons{qq: 1}
	if h.blocked = r.horizons(a, b, &v); h.blocked {
		h.a, h.b = slopeOf{a.qM, a.xM}, slopeOf{b.qM, b.yM}
	} else if p, ok := r.closest(&v, 1, len(r.distM)-1, anyCloseness); ok {
		r.closestAt, r.seeds[0] = p.i, p.i
		h.qq, h.qqXY, h.qX = p.qM*p.qM, p.xM*p.yM, p.xM
	}
	return h.point(r.lengthM, wavelengthM)
}

// bullington returns the loss of that construction alone, and what steepest returns. In
// line of sight only points above ν = -0.78 cost anything, and mostly there are none.
func (r *Relief) bullington(v *reliefView, wavelengthM float64) (loss radio.DB, s Slopes, blocked bool) {
	s, blocked = r.steepest(v)
	if blocked {
		return bullingtonLoss(math.Sqrt(2*r.lengthM*s.A*s.B/wavelengthM), r.lengthM), s, true
	}
	p, ok := r.closest(v, 1, len(r.distM)-1, r.closenessOfNu(knifeEdgeZeroNu, wavelengthM))
	if !ok {
		return 0, s, false
	}
	h := horizons{qq: p.qM * p.qM, qqXY: p.xM * p.yM, qX: p.xM}
	return bullingtonLoss(h.point(r.lengthM, wavelengthM).nu, r.lengthM), s, false
}

// Fitted returns how high both antennas stand above the straight line fitted to
// the ground.
func (r *Relief) Fitted() (hA, hB float64) {
	d := r.lengthM
	return (r.moment - 2*r.sum*d) / (d * d), (r.sum*d - r.moment) / (d * d)
}

// effectiveHeights are h_te and h_re, not less than the antennas above ground; see
// the plain walk of the tests.
func (r *Relief) effectiveHeights() (hA, hB float64) {
	hA, hB = r.Fitted()
	if r.highestM > 0 {
		s, _ := r.steepest(&reliefView{bare: true})
		hA += r.highestM * s.A / (s.A + s.B)
		hB += r.highestM * s.B / (s.A + s.B)
	}
	return max(hA, r.aHeightM), max(hB, r.bHeightM)
}

// edgeAndSlopes is the edge and by how much the horizons rise.
func (r *Relief) edgeAndSlopes(p *Path) (edge bullingtonPoint, s Slopes) {
	var a, b reliefPoint
	edge = r.edge(&a, &b, p.wavelengthM())
	if !edge.lineOfSight {
		s = Slopes{a.qM / a.xM, b.qM / b.yM}
	}
	return edge, s
}

// DeltaBullington makes d the loss over the path the relief was gathered from, ITU-R
// P.526-15 §4.5.2, but for what [Path.Complete] fills in, and returns by how much the
// horizons rise; they are nothing on a path with line of sight.
func (r *Relief) DeltaBullington(d *Loss, p *Path) Slopes {
	edge, s := r.edgeAndSlopes(p)
	seeds := r.seeds
	hA, hB := r.effectiveHeights()
	r.effective, r.seeds = [2]float64{hA, hB}, seeds
	p.sum(d, edge, hA, hB)
	return s
}

// Again brings the Bullington part of d, the loss over the same path, up to date after
// [Relief.Stand]: the smooth earth is under the bare ground. It returns what DeltaBullington does.
func (r *Relief) Again(d *Loss, p *Path) Slopes {
	edge, s := r.edgeAndSlopes(p)
	d.Nu, d.EdgeAtM, d.LineOfSight = edge.nu, edge.atM, edge.lineOfSight
	loss := bullingtonLoss(edge.nu, r.lengthM)
	d.BullingtonDB, d.LossDB = loss, d.LossDB+loss-d.BullingtonDB
	return s
}

// LossOver returns the diffraction loss of the same path, of which diffraction has been
// asked, over another earth radius, and what steepest returns there.
func (r *Relief) LossOver(p *Path, radiusM float64) (loss radio.DB, s Slopes, blocked bool) {
	wavelengthM := p.wavelengthM()
	loss, s, blocked = r.bullington(&reliefView{curve: radio.HalfCurvature(radiusM)}, wavelengthM)
	hAM, hBM := max(r.effective[0], minSmoothHeightM), max(r.effective[1], minSmoothHeightM)
	spherical := p.spherical(hAM, hBM, radiusM)
	if spherical == 0 {
		return loss, s, blocked // the smooth part cannot add anything
	}
	edge := smoothBullington(r.distM, hAM, hBM, radiusM, wavelengthM)
	return loss + max(spherical-bullingtonLoss(edge.nu, r.lengthM), 0), s, blocked
}
