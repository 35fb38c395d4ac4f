package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget"
)

// judge turns edges into loss, margin and probability. It is shared by all
// workers and only read.
type judge struct {
	area           linkbudget.Area
	set            setting
	rxM            float64 // the receiver's antenna above ground
	waveM, radiusM float64 // wavelength; effective earth radius
	perWave        float64 // 2/λ
	freeDB         float64 // free space over 1 m
	scatter        scatter
	crossed        bool          // whether the polarisations of the antennas differ
	sways          bool          // whether an antenna does not radiate evenly all round
	gains          [2]*gainTable // of the pole and of the receiver
	steady         distTable     // clutter, and the square of the steady doubt
	doubt          terrainError
	excess         *excess
}

// sway is the direction of a path: the azimuth at the pole, degrees, and how much
// more it has turned at the receiver.
type sway struct{ azimuthDeg, turnDeg float64 }

// losses adds up the loss of a receiver whose edge and smooth earth are known.
func (j *judge) losses(o *job) {
	d, e := o.distM, &o.edge
	rise := o.groundM + j.rxM - j.set.antennaM
	o.bullington = bullingtonLoss(e.nu, d)
	o.diffraction = o.bullington + o.excess

	logD := fastLog2(d)
	climb := rise / d
	loss := j.freeDB + 2*dBPerOctave*logD + o.diffraction
	if climb*climb < 1e-4 {
		loss += dBPerOctave * math.Log2E * climb * climb // 2e-8 dB
	} else {
		loss += dB10(1 + climb*climb)
	}
	if e.nu > 0 {
		direct := climb - j.set.curve*d
		loss = j.scatter.ceiling(loss, d, logD, e.a+direct, e.b-direct, j.set.curve)
	}
	clutter, steady2 := j.steady.at(d)
	loss += clutter
	model := modelDoubt(o.diffraction)
	if e.nu < 0 && o.excess > o.bullington {
		model = min(model, j.doubt.lowDB)
	}
	margin := float64(j.area.BudgetDB) - loss + j.gain(&o.sway, d, climb)
	if j.crossed {
		margin -= float64(j.area.CrossDB(linkbudget.DB(o.diffraction)))
	}
	o.loss, o.margin, o.variance = loss, margin, steady2+model*model
}

// bullingtonLoss is the loss of the whole construction, J(ν) of ITU-R P.526-15
// eq 31 in P.1812-6 eq 21, over a table of ν: straight lines between, 0.003 dB.
func bullingtonLoss(nu, distM float64) float64 {
	if nu <= -0.78 {
		return 0
	}
	e, u := lossEntry(nu)
	edge, rest := float64(e[0].edge), float64(e[0].rest)
	return edge + u*(float64(e[1].edge)-edge) + (rest+u*(float64(e[1].rest)-rest))*(10+0.02e-3*distM)
}

// bullingtonSlope is by how much that loss grows with ln ν.
func bullingtonSlope(nu, distM float64) float64 {
	e, _ := lossEntry(nu)
	return float64(e[0].steep) * (1 + (1-float64(e[0].rest))*(10+0.02e-3*distM)/6)
}

// lossEntry finds the entry before ν and the way to the next.
func lossEntry(nu float64) (*[2]lossLine, float64) {
	bits := math.Float64bits(nu + 1)
	i := int(bits>>(52-lossBits)) - lossFrom
	if uint(i) >= uint(len(lossTable)-1) {
		return (*[2]lossLine)(lossTable[len(lossTable)-2:]), 1
	}
	return (*[2]lossLine)(lossTable[i:]), float64(bits&(1<<(52-lossBits)-1)) * (1.0 / (1 << (52 - lossBits)))
}

// lossLine is J(ν), 1 - exp(-J/6), and dJ/d(ln ν).
type lossLine struct{ edge, rest, steep float32 }

// The table has 32 entries for every doubling of ν + 1, from 1/8 (ν = -0.875)
// to 2^14; its index is read off the bits of the number.
const (
	lossBits = 5
	lossFrom = (1023 - 3) << lossBits
)

var lossTable = func() (t [17<<lossBits + 1]lossLine) {
	for i := range t {
		octave, part := i>>lossBits, i&(1<<lossBits-1)
		nu := math.Ldexp(1+float64(part)/(1<<lossBits), octave-3) - 1
		uc, steep := 0.0, 0.0
		if nu > -0.8 { // one entry below the cut, so that lines end at 0 there
			v := nu - 0.1
			root := math.Sqrt(v*v + 1)
			uc, steep = 6.9+20*math.Log10(root+v), 20/math.Ln10*nu/root
		}
		t[i] = lossLine{float32(uc), float32(-math.Expm1(-uc / 6)), float32(steep)}
	}
	return t
}()

// overSmooth finds the effective heights of the antennas over the smooth earth, for
// a receiver on ground of that height at sample i of a ray.
func (j *judge) overSmooth(r *ray, i int, groundM float64, h *smoothHeights) {
	d, foot := r.dist[i], groundM-j.set.groundM
	start, end := r.fit(d, foot)
	pole, top := j.set.antennaM-j.set.groundM, foot+j.rxM
	h.distM, h.clearM = d, d-r.d
	// The line fitted without the obstructions stands too high: where even over
	// that the earth costs nothing, the rest need not be known.
	h.a, h.b = pole-min(start, 0), top-min(end, foot)
	if h.free = linkbudget.PlainlyClear(d, h.a, h.b, j.radiusM, j.waveM); h.free {
		return
	}
	downA, downB := r.lowered(d, top+j.set.groundM, j.set.antennaM)
	h.a, h.b = pole-min(start-downA, 0), top-min(end-downB, foot)
	h.free = linkbudget.PlainlyClear(d, h.a, h.b, j.radiusM, j.waveM)
}

// gain is the sum of both antennas towards each other, P.1812-6 eq 77 for the
// elevation; climb is the slope of the straight line from the pole's to the
// receiver's over a flat earth.
func (j *judge) gain(s *sway, d, climb float64) float64 {
	sag := j.set.curve * d
	return j.gains[0].at(s.azimuthDeg, climb-sag) + j.gains[1].at(s.azimuthDeg+180+s.turnDeg, -climb-sag)
}

// scatter is troposcatter as a ceiling, P.1812-6 eq 44, 45 and 63.
type scatter struct{ fixedDB float64 }

// ceiling combines. slopeA and slopeB are the elevations of both horizons as
// tangents, flattened: A's is the real one, B's has twice the curvature to come off.
func (s scatter) ceiling(lossDB, distM, logD, slopeA, slopeB, curve float64) float64 {
	slopeB -= 2 * curve * distM
	theta := 2*distM*curve + atan(slopeA) + atan(slopeB)
	other := s.fixedDB + 2*dBPerOctave*(logD-log2Km) + 573*max(theta, 0)
	gap := other - lossDB
	if gap > 20 {
		return lossDB // 0.0002 dB
	}
	low := min(other, lossDB)
	return low - 0.5*dB10(1+fastExp2(-0.2*math.Log2E*math.Ln10*math.Abs(gap)))
}

const log2Km = 9.965784284662087 // log2 of 1000 m

// atan of a slope of the ground; 2e-6 below 0.5.
func atan(x float64) float64 {
	if x > 0.3 || x < -0.3 {
		return math.Atan(x)
	}
	x2 := x * x
	return x * (1 - x2*(1.0/3-x2*(1.0/5-x2/7)))
}
