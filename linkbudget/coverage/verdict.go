package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
)

// verdict finds loss, margin and probability of a lane, whose excess must be
// known: linkbudget's loss and a cheap form of its doubt, as the package comment
// tells.
func (s *constants) verdict(l *lanes, i int) {
	d, nu, climb, lengthDB := l.d[i], l.nu[i], l.climb[i], lengthDB(l.d[i])
	edge := edgeLoss(nu, lengthDB)
	diffraction := edge + l.excess[i]

	// The median.
	octaves := log2(d * d * (climb*climb + 1)) // of the square of the way in the air
	loss := s.freeDB[0] + dBPerOctave*octaves + diffraction
	other := loss + max(min(l.other[i]-edge, l.most[i]), 0)
	sag := d * s.curve[0]
	if nu > 0 {
		a, b := l.a[i]+l.direct[i], l.b[i]-l.direct[i]
		loss, other = s.ceiling(loss, octaves, sag+sag, a, b), s.ceiling(other, octaves, sag+sag, a, b)
	}
	half := (other - loss) * 0.5
	loss += half + l.clutter[i]
	double := max(min(diffraction*2, diffractionEntries), 0)
	n := min(int32(double), diffractionEntries-1)
	model := between(s.model, n, double-float32(n))
	gain := l.gain[i] + gainOf(s.gainA, l.direct[i]) + gainOf(s.gainB, -climb-sag)
	margin := s.budgetDB[0] - loss + gain - max(s.crossDB[0]-diffraction, s.leastCrossDB[0])

	// The doubt.
	ground := s.groundDoubt(l, i, lengthDB)
	variance := l.steady2[i] + model*model + ground*ground
	l.loss[i], l.margin[i] = loss, margin
	l.probability[i] = s.normal(min((margin+half)/root(variance), margin/root(half*half+variance)))
}

// edgeOver keeps the loss of a lane's edge as the other one.
func (s *constants) edgeOver(l *lanes, i int) { l.other[i] = edgeLoss(l.nu[i], lengthDB(l.d[i])) }

// lengthDB is the factor of a long path in P.1812-6 eq 21.
func lengthDB(d float32) float32 { return 10 + 0.02e-3*d }

// clearNu is from where down an edge costs nothing.
const clearNu = -0.78

// edgeLoss is the loss of Bullington's whole construction: J(ν) of ITU-R P.526-15
// eq 31 in P.1812-6 eq 21.
func edgeLoss(nu, lengthDB float32) float32 {
	knife, rest, _ := knifeEdge(nu)
	if nu > clearNu {
		return knife + (1-rest)*lengthDB
	}
	return 0
}

// knifeEdge returns J(ν), exp(-J/6), and sqrt((ν-0.1)²+1), of which the slope is made.
func knifeEdge(nu float32) (knife, rest, w float32) {
	v := nu - 0.1
	w = root(v*v + 1)
	knife = 6.9 + 2*dBPerOctave*log2(w+v)
	return knife, exp2(knife * (-math.Log2E / 6)), w
}

// ceiling is troposcatter, P.1812-6 eq 44, 45 and 63. bend is d/ae; slopeA and
// slopeB are the elevations of both horizons as tangents, flattened: A's is the
// real one, B's has that bend to come off.
func (s *constants) ceiling(loss, octaves, bend, slopeA, slopeB float32) float32 {
	theta := bend + arctan(slopeA) + arctan(slopeB-bend)
	other := s.scatterDB[0] + dBPerOctave*octaves + 573*max(theta, 0)
	gap := magnitude(other - loss)
	if gap > 20 {
		return min(other, loss) // 0.0002 dB
	}
	return min(other, loss) - dBPerOctave/2*log2(1+exp2(gap*(-0.2*math.Log2E*math.Ln10)))
}

// groundDoubt is the doubt that comes from the terrain at the horizons of both antennas, or
// in line of sight at the point nearest to the line, see [diffraction.Relief.TerrainDoubt].
func (s *constants) groundDoubt(l *lanes, i int, lengthDB float32) float32 {
	square, nu := s.perWave[0]*l.d[i], l.nu[i]
	perA, perB := root(square/(l.xA[i]*l.restA[i])), root(square/(l.xB[i]*l.restB[i]))
	nuA, nuB := nu, nu
	if nu > 0 {
		nuA, nuB = l.a[i]*l.xA[i]*perA, l.b[i]*l.restB[i]*perB
	}
	top := max(max(nuA, nuB), 0)
	movesA := s.errorM(l.xA[i], l.restA[i]) * l.landA[i] * perA * (nuA - diffraction.LeastEdgeNu)
	movesB := s.errorM(l.xB[i], l.restB[i]) * l.landB[i] * perB * (nuB - diffraction.LeastEdgeNu)
	_, rest, w := knifeEdge(top)
	slope := (20 / math.Ln10) / w * (rest*lengthDB*(1.0/6) + 1)
	return max(movesA, movesB) / (top - diffraction.LeastEdgeNu) * slope
}

// errorM is the standard deviation of the ground's error against both antennas.
func (s *constants) errorM(x, rest float32) float32 {
	t, u := min(x*s.perM[0], 1), min(rest*s.perM[0], 1)
	return s.mostM[0] * (t * (2 - t)) * (u * (2 - u))
}

// gainOf is the gain of an antenna over the tangent of the elevation, within 45°.
func gainOf(t []float32, tangent float32) float32 {
	at := min(max((tangent+mostTangent)*perTangent, 0), float32(elevations-1))
	n := min(int32(at), int32(elevations-2))
	return between(t, n, at-float32(n))
}

// normal is the normal distribution function: straight lines in a table, 1e-5.
func (s *constants) normal(x float32) float32 {
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
