package linkbudget

import (
	"math"

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
func (e TerrainError) shift(d Diffraction, sight Sightline, distM float64) float64 {
	xA, xB := d.EdgeAtM, d.EdgeAtM
	wA, wB := 1.0, 0.0
	if !d.LineOfSight {
		_, _, xA, xB = sight.HorizonAngles()
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

// heightAbove is how far the ground at distance atM stands above the direct
// ray, bulge included.
func (s Sightline) heightAbove(atM float64) float64 {
	for i, d := range s.DistM {
		if d >= atM {
			return -s.At(i).ClearanceM
		}
	}
	return 0
}

// terrainDoubt is the standard deviation of the diffraction loss that comes
// from the terrain model: the loss is computed again with all inner ground
// raised and lowered by the shift, and the root mean square of both changes is
// taken. Where the loss is straight in the height this is half their
// difference; where it bends, as at the edge of the Fresnel zone, it keeps the
// side that moves.
func terrainDoubt(p terrain.Profile, sight Sightline, path DiffractionPath, median Diffraction, e TerrainError) DB {
	if e.SigmaM == 0 || len(p.HeightM) < 3 {
		return 0
	}
	shiftM := e.shift(median, sight, p.LengthM())
	ground := append([]float64(nil), p.HeightM...)
	path.GroundM = ground
	last := len(ground) - 1
	var squares float64
	for _, s := range [2]float64{shiftM, -shiftM} {
		// Lowering both ends raises all between them.
		ground[0], ground[last] = p.HeightM[0]-s, p.HeightM[last]-s
		change := float64(DeltaBullington(path).LossDB - median.LossDB)
		squares += change * change
	}
	return DB(math.Sqrt(squares / 2))
}
