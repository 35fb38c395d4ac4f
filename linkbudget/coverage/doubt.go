package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget"
)

// terrainError is the doubt from the terrain model in the form that a cell can
// afford; [linkbudget.Doubt] has the full one. All ground between the antennas
// moves by one standard deviation of what decides the path, as there. But
//
//   - it moves the carried edge, not the whole profile: the smooth-earth term
//     and the place of the edge stay;
//   - in line of sight one stretch of ground counts, not the highest of several;
//   - the ripple of a reflected wave is left out.
type terrainError struct {
	sigmaM, perM float64 // standard deviation; 1/correlation length
	lowDB        float64 // model doubt low over flat ground
}

// point is where an edge stands, as the correlation of errors sees it.
type point struct {
	a, b   float64 // shares of the way to the pole's and to the receiver's end
	ea, eb float64 // correlation with the errors at either end
}

func (t *terrainError) at(x, d, perD float64) point {
	b := x * perD
	return point{1 - b, b, t.alike(x), t.alike(d - x)}
}

// alike is the correlation of the errors at two places that far apart: exp(-x),
// by a table with straight lines between, 3e-5.
func (t *terrainError) alike(apartM float64) float64 {
	x := apartM * t.perM * alikeSteps
	i := int(x)
	if uint(i) >= uint(len(alikeTable)-1) {
		return 0
	}
	return alikeTable[i] + (x-float64(i))*(alikeTable[i+1]-alikeTable[i])
}

const alikeSteps = 64

var alikeTable = func() (t [12*alikeSteps + 1]float64) {
	for i := range t {
		t[i] = math.Exp(-float64(i) / alikeSteps)
	}
	return t
}()

// covariance of the errors at two points against the line between both ends, in
// units of sigma²; across is the correlation of the two, ends that of the ends.
// See linkbudget.TerrainError.
func covariance(x, y *point, across, ends float64) float64 {
	return across - y.a*x.ea - y.b*x.eb - x.a*y.ea - x.b*y.eb + x.a*y.a + x.b*y.b + (x.a*y.b+x.b*y.a)*ends
}

// shift is by how much the ground that makes the edge may be wrong, against the
// line between both ends, m: one standard deviation.
func (t *terrainError) shift(e *edge, d float64) float64 {
	if !e.known {
		return 0
	}
	ends, perD := t.alike(d), 1/d
	x := t.at(e.xA, d, perD)
	share := covariance(&x, &x, 1, ends)
	if e.nu > 0 {
		// d(ln nu) = dqA/2qA + dqB/2qB, q the heights over the direct ray.
		qA, qB := e.a*e.xA, e.b*(d-e.xB)
		wA := 0.5
		if qA+qB > 0 {
			wA = qB / (qA + qB)
		}
		wB := 1 - wA
		y := t.at(e.xB, d, perD)
		across := t.alike(math.Abs(e.xB - e.xA))
		share = wA*wA*share + wB*wB*covariance(&y, &y, 1, ends) + 2*wA*wB*covariance(&x, &y, across, ends)
	}
	return t.sigmaM * math.Sqrt(max(share, 0))
}

// variance of the loss for a shift of the ground, m.
func (t *terrainError) variance(e *edge, d, shiftM, bullington, diffraction, perWave float64) float64 {
	if e.nu <= 0 {
		return t.clear(e, d, shiftM, bullington, diffraction, perWave)
	}
	// Raised ground lifts both horizons. Lowered ground lowers them until other
	// ground takes over, but at least lowers the edge by as much. It stands at
	// d b/(a+b), where ν = h sqrt(perWave d/(d1 d2)).
	const least = 0.01 // m over the direct ray: ground that just touches it
	qA, qB := max(e.a*e.xA, least), max(e.b*(d-e.xB), least)
	if rise := shiftM * (qA + qB); rise < 0.2*qA*qB {
		// Little against what stands up: ν changes by so much, as a part of it, and
		// the loss in proportion.
		up, down := 0.5*rise/(qA*qB), shiftM*(e.a+e.b)/(d*e.a*e.b)
		down = max(up, down)
		slope := bullingtonSlope(e.nu, d)
		return slope * slope * (up*up + down*down) / 2
	}
	ratio := math.Sqrt((qA + shiftM) * (qB + shiftM) / (qA * qB))
	sunk := e.nu - shiftM*(e.a+e.b)*math.Sqrt(perWave/(d*e.a*e.b))
	up := bullingtonLoss(e.nu*ratio, d) - bullington
	down := bullingtonLoss(min(e.nu/ratio, sunk), d) - bullington
	return (up*up + down*down) / 2
}

// clear is the variance for a shift of the ground, m, in line of sight.
func (t *terrainError) clear(e *edge, d, shiftM, bullington, diffraction, perWave float64) float64 {
	if shiftM == 0 {
		return 0
	}
	perM := math.Sqrt(perWave * d / (e.xA * (d - e.xA)))
	if e.nu+2.857*shiftM*perM <= -0.78 {
		return 0
	}
	var squares float64
	for _, node := range hermite5 {
		if node.z < 0 && diffraction == 0 {
			continue
		}
		change := bullingtonLoss(e.nu+node.z*shiftM*perM, d) - bullington
		squares += node.weight * change * change
	}
	return squares
}

// hermite5 are the nodes and weights of the five-point Gauss-Hermite rule for a
// standard normal variable (Abramowitz & Stegun table 25.10), the middle one,
// which changes nothing, left out.
var hermite5 = [...]struct{ z, weight float64 }{
	{1.355626, 0.222076}, {-1.355626, 0.222076}, {2.856970, 0.011257}, {-2.856970, 0.011257},
}

// modelDoubt is linkbudget's doubt of the method for a diffraction loss, from a
// table in steps of half a decibel: it is straight between whole ones.
func modelDoubt(diffraction float64) float64 {
	i := int(diffraction * 2)
	if uint(i) >= uint(len(modelTable)-1) {
		return modelTable[len(modelTable)-1]
	}
	u := diffraction*2 - float64(i)
	return modelTable[i] + u*(modelTable[i+1]-modelTable[i])
}

var modelTable = func() (t [201]float64) {
	for i := range t {
		t[i] = float64(linkbudget.ModelDoubtDB(false, linkbudget.DB(i)/2))
	}
	return t
}()

// phi is the normal distribution function, by a table with straight lines
// between: 1e-5.
func phi(x float64) float64 {
	const perUnit, most = 64, 6
	if !(x > -most) {
		return 0
	}
	if x >= most {
		return 1
	}
	at := (x + most) * perUnit
	i := int(at)
	return phiTable[i] + (at-float64(i))*(phiTable[i+1]-phiTable[i])
}

var phiTable = func() (t [2*6*64 + 2]float64) {
	for i := range t {
		t[i] = linkbudget.Phi(float64(i)/64 - 6)
	}
	return t
}()
