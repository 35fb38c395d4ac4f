package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget"
)

// verdict finds loss, margin and probability of a lane, whose excess must be
// known: linkbudget's loss and a cheap form of its doubt, as the package comment
// tells.
func (s *scene) verdict(l *lanes, i int) {
	d, nu := l.d[i], l.nu[i]
	behind := nu > 0
	lengthDB := lengthDB(d)
	edge := edgeLoss(nu, lengthDB)
	diffraction := edge + l.excess[i]

	// The median.
	climb := l.climb[i]
	octaves := log2(d * d * (climb*climb + 1)) // of the square of the way in the air
	loss := s.freeDB[0] + dBPerOctave*octaves + diffraction
	sag := d * s.curve[0]
	if behind {
		loss = s.ceiling(loss, octaves, sag+sag, l.a[i]+l.direct[i], l.b[i]-l.direct[i])
	}
	loss += l.clutter[i]
	half := max(min(diffraction*2, diffractionEntries), 0)
	n := min(int32(half), diffractionEntries-1)
	model := between(s.model, n, half-float32(n))
	if !behind && l.excess[i] > edge {
		model = min(model, s.lowDB[0])
	}
	gain := l.gain[i] + gainOf(s.gainA, l.direct[i]) + gainOf(s.gainB, -climb-sag)
	margin := s.budgetDB[0] - loss + gain - max(s.crossDB[0]-diffraction, s.leastCrossDB[0])

	// The doubt.
	shift := s.shift(l, i)
	variance := l.steady2[i] + model*model + s.groundVariance(l, i, shift, edge, lengthDB)
	l.loss[i], l.margin[i] = loss, margin
	l.probability[i] = s.normal(margin / root(variance))
}

// lengthDB is the factor of a long path in P.1812-6 eq 21.
func lengthDB(d float32) float32 { return 10 + 0.02e-3*d }

// edgeLoss is the loss of Bullington's whole construction: J(ν) of ITU-R P.526-15
// eq 31 in P.1812-6 eq 21.
func edgeLoss(nu, lengthDB float32) float32 {
	knife, rest, _ := knifeEdge(nu)
	if nu > -0.78 {
		return knife + (1-rest)*lengthDB
	}
	return 0
}

// knifeEdge returns J(ν), exp(-J/6), and dJ/d(ln ν) = 20/ln 10 ν/sqrt((ν-0.1)²+1).
func knifeEdge(nu float32) (knife, rest, slope float32) {
	v := nu - 0.1
	w := root(v*v + 1)
	knife = 6.9 + 2*dBPerOctave*log2(w+v)
	return knife, exp2(knife * (-math.Log2E / 6)), nu * (20 / math.Ln10) / w
}

// ceiling is troposcatter, P.1812-6 eq 44, 45 and 63. bend is d/ae; slopeA and
// slopeB are the elevations of both horizons as tangents, flattened: A's is the
// real one, B's has that bend to come off.
func (s *scene) ceiling(loss, octaves, bend, slopeA, slopeB float32) float32 {
	theta := bend + arctan(slopeA) + arctan(slopeB-bend)
	other := s.scatterDB[0] + dBPerOctave*octaves + 573*max(theta, 0)
	gap := magnitude(other - loss)
	if gap > 20 {
		return min(other, loss) // 0.0002 dB
	}
	return min(other, loss) - dBPerOctave/2*log2(1+exp2(gap*(-0.2*math.Log2E*math.Ln10)))
}

// shift is by how much the ground that makes the edge may be wrong, against the
// line between both ends: one standard deviation.
func (s *scene) shift(l *lanes, i int) float32 {
	d := l.d[i]
	ends := s.alike(d)
	// A's horizon: its weights on the errors at A and at B, and how alike they are.
	per := 1 / d
	pB, pA := l.xA[i]*per, l.restA[i]*per
	likeA, likeB := s.alike(l.xA[i]), s.alike(l.restA[i])
	first := 1 - (pA*likeA+pB*likeB)*2 + pA*pA + pB*pB + pA*pB*ends*2

	// d(ln ν) = dqA/2qA + dqB/2qB, q the heights over the direct ray.
	both := s.alike(magnitude(l.xB[i] - l.xA[i])) // with B's horizon, in line of sight the same point
	rB, rA := l.xB[i]*per, l.restB[i]*per
	both = both - (rA*likeA + rB*likeB) + (pA*rA + pB*rB) + (pA*rB+pB*rA)*ends
	likeA, likeB = s.alike(l.xB[i]), s.alike(l.restB[i])
	both -= pA*likeA + pB*likeB
	second := 1 - (rA*likeA+rB*likeB)*2 + rA*rA + rB*rB + rA*rB*ends*2
	qA, qB := l.a[i]*l.xA[i], l.b[i]*l.restB[i]
	wA := float32(0.5)
	if qA+qB > 0 {
		wA = qB / (qA + qB)
	}
	wB := 1 - wA
	share := first
	if l.nu[i] > 0 {
		share = wA*wA*first + wB*wB*second + wA*wB*both*2
	}
	return l.doubt[i] * root(max(share, 0))
}

// alike is the correlation of the ground's errors at two places that far apart.
// Far from each other they have nothing to do with each other.
func (s *scene) alike(apart float32) float32 {
	if octaves := apart * s.perM[0]; octaves > unlike {
		return exp2(octaves)
	}
	return 0
}

// unlike is where 2^x is lost beside 1 in single precision.
const unlike = -24

// groundVariance is the variance of the loss for a shift of the ground.
//
// Behind an obstacle raised ground lifts both horizons. Lowered ground lowers them
// until other ground takes over, but at least lowers the edge by as much: it
// stands at d b/(a+b), where a shift h moves ν by h (a+b) perWave/ν. A shift that is
// little against what stands up changes the loss in proportion. In line of sight the
// five-point Gauss-Hermite rule averages over the shift.
func (s *scene) groundVariance(l *lanes, i int, shift, edge, lengthDB float32) float32 {
	const least = 0.01 // m over the direct ray: ground that just touches it
	nu, d := l.nu[i], l.d[i]
	change := func(nu float32) float32 {
		c := edgeLoss(nu, lengthDB) - edge
		return c * c
	}
	if nu > 0 {
		a, b := l.a[i], l.b[i]
		qA, qB := max(a*l.xA[i], least), max(b*l.restB[i], least)
		perHigh := 1 / (qA * qB)
		sunk := shift * (a + b) * s.perWave[0] / nu
		if part := shift * (qA + qB) * perHigh; part < littleShift { // of ν²
			// The change of ln ν, to the second order.
			up := (part - part*part*0.5 + shift*shift*perHigh) * 0.5
			down := sunk / nu
			down = max(up, down+down*down*0.5)
			_, rest, slope := knifeEdge(nu)
			slope *= rest*lengthDB*(1.0/6) + 1
			return slope * slope * (up*up + down*down) * 0.5
		}
		ratio := root((qA + shift) * (qB + shift) * perHigh)
		return change(nu*ratio)*0.5 + change(min(nu/ratio, nu-sunk))*0.5
	}
	sway := shift * root(s.perWave[0]*d/(l.xA[i]*l.restA[i]))
	return change(nu+nearNode*sway)*nearWeight + change(nu-nearNode*sway)*nearWeight +
		change(nu+farNode*sway)*farWeight + change(nu-farNode*sway)*farWeight
}

// littleShift is the part of ν² up to which a shift changes the loss in proportion to ln ν.
const littleShift = 0.5

// Nodes and weights of the five-point Gauss-Hermite rule for a standard normal
// variable (Abramowitz & Stegun table 25.10); the middle one changes nothing.
const (
	nearNode, nearWeight = 1.355626, 0.222076
	farNode, farWeight   = 2.856970, 0.011257
)

// gainOf is the gain of an antenna over the tangent of the elevation, within 45°.
func gainOf(t []float32, tangent float32) float32 {
	at := min(max((tangent+mostTangent)*perTangent, 0), float32(elevations-1))
	n := min(int32(at), int32(elevations-2))
	return between(t, n, at-float32(n))
}

// normal is the normal distribution function: straight lines in a table, 1e-5.
func (s *scene) normal(x float32) float32 {
	if !(x > -phiMost) {
		x = -phiMost
	}
	at := (min(x, phiMost) + phiMost) * phiPerUnit
	n := min(int32(at), phiEntries-1)
	return between(s.phi, n, at-float32(n))
}

// cell makes the answers of a lane a cell. A loss that is no number is none: what it was
// made of cannot have been known.
func (l *lanes) cell(i int) Cell {
	if l.loss[i] != l.loss[i] {
		return Hidden.Cell()
	}
	return Numbers{linkbudget.DB(l.loss[i]), linkbudget.DB(l.margin[i]), float64(l.probability[i])}.Cell()
}
