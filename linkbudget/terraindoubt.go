package linkbudget

import (
	"math"
	"sort"
	"sync"

	"github.com/polereach/polereach/terrain"
)

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

// covariance of the errors of the ground at x and y, each against the straight
// line between the errors at both ends of a path of distM, in units of SigmaM²:
// an antenna stands on the model's ground, so an error that lifts all of a
// short path alike changes nothing.
func (e TerrainError) covariance(x, y, distM float64) float64 {
	r := e.correlation
	ax, bx := 1-x/distM, x/distM // weights of the two ends at x
	ay, by := 1-y/distM, y/distM
	return r(x-y) -
		ay*r(x) - by*r(distM-x) -
		ax*r(y) - bx*r(distM-y) +
		ax*ay + bx*by + (ax*by+bx*ay)*r(distM)
}

// shift is the standard deviation in metres with which the ground that decides
// diffraction moves against the two antennas. Behind the horizon two points
// decide, the horizons of A and of B, each with its weight in the height of
// the Bullington edge.
func (e TerrainError) shift(m *median, sight Sightline, distM float64) float64 {
	d := m.diffraction
	xA, xB := d.EdgeAtM, d.EdgeAtM
	wA, wB := 1.0, 0.0
	if !d.LineOfSight {
		h := m.horizonsOf(sight)
		xA, xB = h.aAtM, h.bAtM
		qA, qB := sight.heightAbove(xA), sight.heightAbove(xB)
		if qA > 0 && qB > 0 {
			wA = (1 / qA) / (1/qA + 1/qB) // d(ln nu) = dqA/2qA + dqB/2qB
			wB = 1 - wA
		}
	}
	if !(xA > 0 && xA < distM) { // no inner point decides
		xA, wA, wB = distM/2, 1, 0
	}
	variance := wA*wA*e.covariance(xA, xA, distM) + wB*wB*e.covariance(xB, xB, distM) + 2*wA*wB*e.covariance(xA, xB, distM)
	return e.SigmaM * math.Sqrt(math.Max(variance, 0))
}

// heightAbove is how far the ground at distance atM, that of a point, stands
// above the direct ray, bulge included.
func (s Sightline) heightAbove(atM float64) float64 {
	i := sort.SearchFloat64s(s.DistM, atM)
	if i == len(s.DistM) {
		return 0
	}
	return -s.At(i).ClearanceM
}

// rivals estimates how many stretches of ground, independent of each other,
// could become the edge of a path in line of sight: those whose nu, with one
// shift more, passes that of the edge. Over a ridge it is one; over a plain it
// grows with the length, and the highest of many errors decides.
func (e TerrainError) rivals(d Diffraction, sight Sightline, shiftM float64) float64 {
	last := len(sight.DistM) - 1
	distM := sight.DistM[last]
	ch := sight.chord()
	// sqrt(2) (shift - c) > nu F1 asks whether a point comes up to the edge. Both
	// sides squared with their signs need no root: F1² = lambda d1 d2/d.
	limit := d.Nu * math.Abs(d.Nu) * sight.WavelengthM / distM
	var stretchM float64
	for i := 1; i < last; i++ {
		d1 := sight.DistM[i]
		width := d1 * (distM - d1)
		rise := shiftM - (sight.AHeightM + ch.slope*d1 - sight.surfaceM(i) - width*ch.halfCurvature)
		if 2*rise*math.Abs(rise) > limit*width {
			stretchM += (sight.DistM[i+1] - sight.DistM[i-1]) / 2
		}
	}
	return 1 + math.Min(stretchM, distM)/(2*e.CorrelationM)
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
func terrainDoubt(p terrain.Profile, sight Sightline, m *median, e TerrainError) DB {
	if e.SigmaM == 0 || len(p.HeightM) < 3 {
		return 0
	}
	median, path := m.diffraction, m.path
	shiftM := e.shift(m, sight, p.LengthM())
	scratch := groundPool.Get().(*[]float64)
	defer groundPool.Put(scratch)
	*scratch = append((*scratch)[:0], p.HeightM...)
	ground := *scratch
	path.GroundM = ground
	last := len(ground) - 1
	change := func(upM float64) float64 {
		// Lowering both ends raises all between them.
		ground[0], ground[last] = p.HeightM[0]-upM, p.HeightM[last]-upM
		return float64(DeltaBullington(path).LossDB - median.LossDB)
	}
	if !median.LineOfSight {
		up, down := change(shiftM), change(-shiftM)
		return DB(math.Sqrt((up*up + down*down) / 2))
	}
	mean, sigma := highest(e.rivals(median, sight, shiftM))
	var squares float64
	if middle := change(mean * shiftM); mean > 0 {
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

// groundPool keeps the copies of profiles that terrainDoubt shifts.
var groundPool = sync.Pool{New: func() any { return new([]float64) }}
