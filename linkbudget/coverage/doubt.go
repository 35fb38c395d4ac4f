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

// correlation length over which exp() would underflow in the ratios below.
const mostLengths = 600

// covariance of the errors at x and y against the line between both ends, in
// units of sigma²; e(x) = exp(-x/c) are known at the samples, x <= y. See
// linkbudget.TerrainError.
func covariance(x, y, distM, ex, ey, ed float64) float64 {
	bx, by := x/distM, y/distM
	ax, ay := 1-bx, 1-by
	fx, fy := ed/ex, ed/ey // exp(-(distM-x)/c)
	return ey/ex - ay*ex - by*fx - ax*ey - bx*fy + ax*ay + bx*by + (ax*by+bx*ay)*ed
}

// sigma is the standard deviation of the diffraction loss.
func (t *terrainError) sigma(e *edge, d, bullington, diffraction, perWave float64) float64 {
	if !e.known {
		return 0
	}
	if d*t.perM > mostLengths { // both ends and the edge err independently
		b := e.xA / d
		return t.spread(e, d, t.sigmaM*math.Sqrt(1+b*b+(1-b)*(1-b)), bullington, diffraction, perWave)
	}
	ed := fastExp(-d * t.perM)
	variance := covariance(e.xA, e.xA, d, e.fadeA, e.fadeA, ed)
	if e.nu > 0 {
		// d(ln nu) = dqA/2qA + dqB/2qB, q the heights over the direct ray.
		qA, qB := e.a*e.xA, e.b*(d-e.xB)
		wA := 0.5
		if qA+qB > 0 {
			wA = qB / (qA + qB)
		}
		wB := 1 - wA
		mixed := 0.0
		if e.xA <= e.xB {
			mixed = covariance(e.xA, e.xB, d, e.fadeA, e.fadeB, ed)
		} else {
			mixed = covariance(e.xB, e.xA, d, e.fadeB, e.fadeA, ed)
		}
		variance = wA*wA*variance + wB*wB*covariance(e.xB, e.xB, d, e.fadeB, e.fadeB, ed) + 2*wA*wB*mixed
	}
	return t.spread(e, d, t.sigmaM*math.Sqrt(max(variance, 0)), bullington, diffraction, perWave)
}

// spread turns a shift of the ground, m, into decibels.
func (t *terrainError) spread(e *edge, d, shiftM, bullington, diffraction, perWave float64) float64 {
	if e.nu > 0 {
		// Raised ground lifts both horizons. Lowered ground lowers them until
		// other ground takes over, but at least lowers the edge by as much.
		const least = 0.01 // m over the direct ray: ground that just touches it
		ratio := math.Sqrt((1 + shiftM/max(e.a*e.xA, least)) * (1 + shiftM/max(e.b*(d-e.xB), least)))
		at := d * e.b / (e.a + e.b)
		sunk := e.nu - shiftM*math.Sqrt(perWave*d/(at*(d-at)))
		up := bullingtonLoss(e.nu*ratio, d) - bullington
		down := bullingtonLoss(min(e.nu/ratio, sunk), d) - bullington
		return math.Sqrt((up*up + down*down) / 2)
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
	return math.Sqrt(squares)
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
	if i >= len(modelTable)-1 {
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
