package diffraction

import (
	"math"
	"sort"
)

// Horizons are the radio horizons of both antennas over bare ground.
type Horizons struct {
	// Blocked: ground comes up to the direct ray, the path is trans-horizon.
	Blocked bool
	// ARad and BRad are their elevations above the local horizontal; where none is Blocked
	// those of the other antenna.
	ARad, BRad float64
	// AM and BM are their distances from A and from B, m; where none is Blocked both are
	// the point of largest ν, in the middle of a path without inner points.
	AM, BM float64
}

// AngleRad is the angular distance theta between the rays to the horizons of a path of
// distM over an earth of radiusM; ITU-R P.1812-6 attachment 1 eq (82). Within rounding and
// the arc tangents of both ends it is 0 where none is Blocked.
func (h Horizons) AngleRad(distM, radiusM float64) float64 { return distM/radiusM + h.ARad + h.BRad }

// Horizons returns the horizons of the path the relief was gathered from, over its earth:
// ITU-R P.1812-6 attachment 1 eq (75) to (81). Over the direct ray, rising by s, a point
// stands with the bulge x y/(2a); below the level of A it counts x²/(2a): what is between
// them is x d/(2a), so that θ_t = s - d/(2a) + max q/x.
func (r *Relief) Horizons() Horizons {
	last := len(r.distM) - 1
	d := r.lengthM
	rise := (r.groundM[last] + r.bHeightM - r.groundM[0] - r.aHeightM) / d
	bulge := r.curve * d
	v := reliefView{curve: r.curve, bare: true}
	seeds := r.seeds
	defer func() { r.seeds = seeds }()
	var a, b reliefPoint
	if r.horizons(&a, &b, &v) {
		return Horizons{true, math.Atan(rise - bulge + a.qM/a.xM), math.Atan(-rise - bulge + b.qM/b.yM), a.xM, b.yM}
	}
	h := Horizons{false, math.Atan(rise - bulge), math.Atan(-rise - bulge), d / 2, d / 2}
	if p, ok := r.closest(&v, 1, last, anyCloseness); ok {
		h.AM, h.BM = p.xM, p.yM
	}
	return h
}

// Roughness returns the greatest height of the bare ground from AM from A to BM from B over
// the straight line that lies hA and hB below the antennas, m: h_m of ITU-R P.1812-6
// attachment 1 eq (93). Without ground there it is 0.
func (r *Relief) Roughness(hA, hB float64, h Horizons) float64 {
	last := len(r.distM) - 1
	from := max(1, sort.SearchFloat64s(r.distM, h.AM))
	to := r.lengthM - h.BM
	slope, most := (hB-hA)/r.lengthM, math.Inf(-1)
	for i := from; i < last && r.distM[i] <= to*beyond; i++ {
		most = max(most, r.heightM[i]+hA+slope*r.distM[i])
	}
	if math.IsInf(most, -1) {
		return 0
	}
	return most
}

// beyond is above the rounding of a sum of distances.
const beyond = 1 + 1e-12
