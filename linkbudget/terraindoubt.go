package linkbudget

import "math"

// TerrainError describes the vertical error of a terrain model: normal, of
// mean zero, with a correlation that falls as exp(-distance/CorrelationM).
type TerrainError struct {
	// SigmaM is the standard deviation of a height, m; 0 to 50.
	SigmaM float64
	// CorrelationM is the distance at which the correlation of two errors has
	// fallen to 1/e, m; above 0.
	CorrelationM float64
}

func (e TerrainError) correlation(distM float64) float64 {
	return math.Exp(-math.Abs(distM) / e.CorrelationM)
}

// errorPlace is a place on a path: the weights of the errors at both ends in
// the straight line between them, and its correlations with the ends.
type errorPlace struct{ toA, toB, rA, rB float64 }

// places are two of them on a path of distM, x not beyond y, and the correlation of
// the two. A correlation that falls as exp(-distance) is the product of those over
// the parts of a way.
func (e TerrainError) places(x, y, distM float64) (atX, atY errorPlace, xy float64) {
	xA, yB, xy := e.correlation(x), e.correlation(distM-y), 1.0
	if x != y {
		xy = e.correlation(y - x)
	}
	perM := 1 / distM
	return errorPlace{1 - x*perM, x * perM, xA, xy * yB}, errorPlace{1 - y*perM, y * perM, xA * xy, yB}, xy
}

// covariance of the errors of the ground at x and y, each against the straight
// line between the errors at both ends of a path of distM, in units of SigmaM²:
// an antenna stands on the model's ground, so an error that lifts all of a
// short path alike changes nothing. xy is the correlation of the two, ends that
// of the ends.
func (x errorPlace) covariance(y errorPlace, xy, ends float64) float64 {
	return xy -
		x.toA*y.rA - x.toB*y.rB -
		y.toA*x.rA - y.toB*x.rB +
		x.toA*y.toA + x.toB*y.toB + (x.toA*y.toB+x.toB*y.toA)*ends
}

// shift is the standard deviation in metres with which the ground that decides
// diffraction moves against the two antennas. Behind the horizon two points
// decide, the horizons of A and of B, each with its weight in the height of
// the Bullington edge.
func (e TerrainError) shift(m *median, sight *Sightline) float64 {
	d, distM := &m.diffraction, m.relief.lengthM
	xA, xB := d.EdgeAtM, d.EdgeAtM
	wA, wB := 1.0, 0.0
	if !d.LineOfSight {
		var qA, qB float64
		if sight.ClutterM == nil {
			xA, xB, qA, qB = m.atA.xM, m.atB.xM, m.atA.qM, m.atB.qM
		} else {
			_, _, xA, xB = sight.HorizonAngles()
			qA, qB = m.heightAbove(xA, sight), m.heightAbove(xB, sight)
		}
		if qA > 0 && qB > 0 {
			wA = (1 / qA) / (1/qA + 1/qB) // d(ln nu) = dqA/2qA + dqB/2qB
			wB = 1 - wA
		}
	}
	if !(xA > 0 && xA < distM) { // no inner point decides
		xA, wA, wB = distM/2, 1, 0
	}
	if wB == 0 {
		xB = xA
	} else if xA > xB {
		xA, xB, wA, wB = xB, xA, wB, wA
	}
	a, b, ab := e.places(xA, xB, distM)
	ends := a.rA * a.rB // exp(-x/L) exp(-(d-x)/L)
	variance := wA * wA * a.covariance(a, 1, ends)
	if wB != 0 {
		variance += wB*wB*b.covariance(b, 1, ends) + 2*wA*wB*a.covariance(b, ab, ends)
	}
	return e.SigmaM * math.Sqrt(math.Max(variance, 0))
}

// heightAbove is how far the ground at distance atM, that of a point, stands
// above the direct ray, bulge included; 0 at the ends.
func (m *median) heightAbove(atM float64, sight *Sightline) float64 {
	i := firstFrom(m.relief.distM, atM)
	if i < 1 || i >= len(m.relief.distM)-1 {
		return 0
	}
	return m.relief.point(i, reliefView{curve: halfCurvature(sight.EffectiveRadiusM)}).qM
}

// rivals estimates how many stretches of ground, independent of each other,
// could become the edge of a path in line of sight: those whose nu, with one
// shift more, passes that of the edge. Over a ridge it is one; over a plain it
// grows with the length, and the highest of many errors decides.
func (e TerrainError) rivals(d *Diffraction, ground *relief, sight *Sightline, shiftM float64) float64 {
	v := reliefView{curve: halfCurvature(sight.EffectiveRadiusM), upM: shiftM}
	stretchM := ground.stretchAbove(v, ground.closenessOfNu(d.Nu, sight.WavelengthM))
	return 1 + math.Min(stretchM, ground.lengthM)/(2*e.CorrelationM)
}

// highest returns mean and standard deviation of the highest of n independent
// standard normal values, in a form fitted to the tables of normal order
// statistics for 2 to 100 (0.564 and 0.826 for 2, 1.539 and 0.587 for 10,
// 2.508 and 0.429 for 100) within 0.06; 0 and 1 for 1.
func highest(n float64) (mean, sigma float64) {
	ln := math.Log(n)
	return 0.9 * ln / (1 + 0.14*ln), 1 / (1 + 0.29*ln)
}

// hermite5 are the nodes and weights of the five-point Gauss-Hermite rule for
// a standard normal variable, the middle node left out.
var hermite5 = [...]struct{ z, weight float64 }{
	{1.355626, 0.222076}, {-1.355626, 0.222076}, {2.856970, 0.011257}, {-2.856970, 0.011257},
}

// terrainDoubt is the standard deviation of the diffraction loss about its
// median that comes from the terrain model: the loss is computed again with
// all inner ground shifted against the antennas, and the changes are averaged
// as squares.
//
// Behind the horizon the loss is nearly straight in the height, and one shift
// up and one down are enough. In line of sight it bends, from nothing to a
// steep slope, and the ground that decides may change: there the shift is that
// of the highest of several rivals, and five points of a Gauss-Hermite rule
// are taken.
func terrainDoubt(m *median, sight *Sightline, e TerrainError) DB {
	if e.SigmaM == 0 || len(m.path.DistM) < 3 {
		return 0
	}
	median := &m.diffraction
	shiftM := e.shift(m, sight)
	change := func(upM float64) float64 {
		there, _, _ := m.relief.loss(&m.path, m.path.EffectiveRadiusM, upM)
		return float64(there - median.LossDB)
	}
	curve, otherCurve := halfCurvature(m.conditions.radiusM), halfCurvature(m.conditions.otherRadiusM)
	if !median.LineOfSight {
		m.relief.findSlopes(shiftM, curve, otherCurve)
		up, down := change(shiftM), change(-shiftM)
		return DB(math.Sqrt((up*up + down*down) / 2))
	}
	mean, sigma := highest(e.rivals(median, m.relief, sight, shiftM))
	mostUpM := (mean + sigma*hermite5[2].z) * shiftM
	m.relief.findRivals(mostUpM, max(curve, otherCurve), sight.WavelengthM)
	if median.LossDB == 0 && m.relief.freeUpTo(&m.path, mostUpM) {
		return 0
	}
	var squares float64
	if mean > 0 {
		middle := change(mean * shiftM)
		squares = 0.533333 * middle * middle
	}
	for _, node := range hermite5 {
		z := mean + sigma*node.z
		if z < 0 && median.LossDB == 0 {
			continue // lower ground cannot cost less than nothing
		}
		c := change(z * shiftM)
		squares += node.weight * c * c
	}
	return DB(math.Sqrt(squares))
}
