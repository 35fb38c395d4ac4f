package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget"
)

// judge turns edges into loss, margin and probability. It is shared by all
// workers and only read.
type judge struct {
	area     linkbudget.Area
	set      setting
	poleTopM float64 // the pole's antenna above the datum
	rxM      float64 // the receiver's antenna above ground
	perWave  float64 // 2/λ
	freeDB   float64 // free space over 1 m
	scatter  scatter
	gains    [2]*gainTable // of the pole and of the receiver
	steady   distTable     // clutter, and the square of the steady doubt
	doubt    terrainError
	excess   *excess
}

// cell judges a receiver on ground of that height. The edge, on which the loss
// depends strongly, is that of the cell's own path as nearly as it can be told;
// the smooth surface is that of the nearer ray.
func (j *judge) cell(s *spot, groundM float64, w *work, out *Cell) {
	rx := [2]receiver{j.receiver(float64(s.rays[0].dist[s.sample]), groundM), j.receiver(float64(s.rays[1].dist[s.sample]), groundM)}
	own := j.receiver(s.distM, groundM)
	e := j.edge(s, &rx, &own)
	near, nearRx := s.rays[0], &rx[0]
	if s.t > 0.5 {
		near, nearRx = s.rays[1], &rx[1]
	}
	d := s.distM
	bullington := bullingtonLoss(e.nu, d)
	excess := j.smoothEarth(near, nearRx, s.sample-1)
	diffraction := bullington + excess

	rise := own.topM - j.poleTopM
	loss := j.freeDB + dB10(d*d+rise*rise) + diffraction
	if e.nu > 0 {
		direct := (own.y - j.poleTopM) / d
		loss = j.scatter.ceiling(loss, d, e.a+direct, e.b-direct, j.set.curve)
	}
	clutter, sigma2 := j.steady.at(d)
	loss += clutter

	model := modelDoubt(diffraction)
	if e.nu < 0 && excess > bullington {
		model = min(model, j.doubt.lowDB)
	}
	terrain := j.doubt.sigma(&e, d, bullington, diffraction, j.perWave)
	sigma2 += model*model + terrain*terrain

	margin := float64(j.area.BudgetDB) - loss + j.gain(near, &own, w)
	margin -= float64(j.area.CrossDB(linkbudget.DB(diffraction)))
	*out = Cell{LossDB: float32(loss), MarginDB: float32(margin), Probability: float32(phi(margin / math.Sqrt(sigma2))), State: Judged}
}

func (j *judge) receiver(distM, groundM float64) receiver {
	top := groundM + j.rxM
	return receiver{distM: distM, groundM: groundM, topM: top, y: top - j.set.curve*distM*distM}
}

// bullingtonLoss is the loss of the whole construction, J(ν) of ITU-R P.526-15
// eq 31 in P.1812-6 eq 21, over a table of ν: straight lines between, 1e-4 dB.
func bullingtonLoss(nu, distM float64) float64 {
	if nu <= -0.78 {
		return 0
	}
	bits := math.Float64bits(nu + 1)
	i := int(bits>>(52-lossBits)) - lossFrom
	if i >= len(lossTable)-1 {
		i = len(lossTable) - 2
		bits = math.MaxUint64
	}
	u := float64(bits&(1<<(52-lossBits)-1)) * (1.0 / (1 << (52 - lossBits)))
	a, b := &lossTable[i], &lossTable[i+1]
	return a.edge + u*(b.edge-a.edge) + (a.rest+u*(b.rest-a.rest))*(10+0.02e-3*distM)
}

// The table has 128 entries for every doubling of ν + 1, from 1/8 (ν = -0.875)
// to 2^14; its index is read off the bits of the number.
const (
	lossBits = 7
	lossFrom = (1023 - 3) << lossBits
)

var lossTable = func() (t [17<<lossBits + 1]struct{ edge, rest float64 }) {
	for i := range t {
		octave, part := i>>lossBits, i&(1<<lossBits-1)
		nu := math.Ldexp(1+float64(part)/(1<<lossBits), octave-3) - 1
		uc := 0.0
		if nu > -0.8 { // one entry below the cut, so that lines end at 0 there
			v := nu - 0.1
			uc = 6.9 + 20*math.Log10(math.Sqrt(v*v+1)+v)
		}
		t[i].edge, t[i].rest = uc, -math.Expm1(-uc/6)
	}
	return t
}()

// smoothEarth returns what the smooth earth adds, max(L_dsph - L_bulls, 0) of
// P.1812-6 eq 39.
func (j *judge) smoothEarth(r *ray, rx *receiver, last int32) float64 {
	start, end := r.fit(rx, last, j.set.groundM)
	poleM := j.poleTopM - j.set.groundM
	d := rx.distM
	clearM := d
	if last >= 0 {
		clearM = d - float64(r.dist[last])
	}
	topM, footM := rx.topM-j.set.groundM, rx.groundM-j.set.groundM
	// The line fitted without the obstructions stands too high: where even over
	// that the earth costs nothing, the rest need not be known.
	if j.highOver(poleM-min(start, 0), topM-min(end, footM), d) {
		return 0
	}
	downA, downB := r.lowered(rx, last, j.poleTopM)
	hA, hB := poleM-min(start-downA, 0), topM-min(end-downB, footM)
	if j.highOver(hA, hB, d) {
		return 0
	}
	return j.excess.at(d, hA, hB, clearM)
}

// highOver reports that a smooth earth surely costs nothing: the ray passes it by
// at least the lower antenna less the bulge of the whole path, and 0.552 of the
// widest first Fresnel zone is enough (P.1812-6 eq 26).
func (j *judge) highOver(hA, hB, d float64) bool {
	free := min(hA, hB) - j.set.curve*d*d/4
	return free > 0 && free*free*j.perWave > 0.552*0.552/2*d
}

// gain is the sum of both antennas towards each other, P.1812-6 eq 77 for the
// elevation. The azimuths are those of the nearer ray.
func (j *judge) gain(r *ray, rx *receiver, w *work) float64 {
	rise := (rx.topM - j.poleTopM) / rx.distM
	sag := j.set.curve * rx.distM
	return j.gains[0].at(r.azimuthDeg, rise-sag) + j.gains[1].at(r.azimuthDeg+180+r.backTurn*w.along, -rise-sag)
}

// work is what one worker keeps.
type work struct {
	along float64 // way along the axis from the pole, signed, posts
}

// scatter is troposcatter as a ceiling, P.1812-6 eq 44, 45 and 63.
type scatter struct{ fixedDB float64 }

// ceiling combines. slopeA and slopeB are the elevations of both horizons as
// tangents, flattened: A's is the real one, B's has twice the curvature to come off.
func (s scatter) ceiling(lossDB, distM, slopeA, slopeB, curve float64) float64 {
	slopeB -= 2 * curve * distM
	theta := 2*distM*curve + atan(slopeA) + atan(slopeB)
	other := s.fixedDB + 2*dB10(distM*1e-3) + 573*max(theta, 0)
	gap := other - lossDB
	if gap > 20 {
		return lossDB // 0.0002 dB
	}
	low := min(other, lossDB)
	return low - 0.5*dB10(1+fastExp2(-0.2*math.Log2E*math.Ln10*math.Abs(gap)))
}

// atan of a slope of the ground; 2e-6 below 0.5.
func atan(x float64) float64 {
	if x > 0.3 || x < -0.3 {
		return math.Atan(x)
	}
	x2 := x * x
	return x * (1 - x2*(1.0/3-x2*(1.0/5-x2/7)))
}
