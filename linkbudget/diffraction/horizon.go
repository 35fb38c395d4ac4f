package diffraction

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// HorizonAngles returns the elevation of the radio horizon seen from each
// antenna, radians above the local horizontal, and the distance of that
// horizon from A (aAtM for the horizon of A, bAtM for that of B): 0, the length of
// the path, or exactly one of DistM.
//
// ITU-R P.1812-6 attachment 1 eq (76) to (81): the highest of the ground
// points between the ends and of the other antenna itself, so on a path with
// line of sight each antenna's horizon is the other one. Bare ground counts;
// the Recommendation leaves ClutterM out here.
func (s Sightline) HorizonAngles() (aRad, bRad float64, aAtM, bAtM float64) {
	ch := s.chord()
	if !(ch.lengthM > 0) {
		return 0, 0, 0, 0
	}
	a := horizonPoint{rise: s.BHeightM - s.AHeightM - ch.lengthM*ch.lengthM*ch.halfCurvature, run: ch.lengthM}
	b := horizonPoint{rise: s.AHeightM - s.BHeightM - ch.lengthM*ch.lengthM*ch.halfCurvature, run: ch.lengthM}
	bAtM = 0
	from, to := s.inner(0)
	dist, ground, curve := s.DistM[:to], s.GroundM[:to], ch.halfCurvature
	for i := from; i < len(dist); i++ {
		d1, h := dist[i], ground[i]
		d2 := ch.lengthM - d1
		if rise := h - s.AHeightM - d1*d1*curve; rise*a.run > a.rise*d1 {
			a = horizonPoint{rise, d1}
		}
		if rise := h - s.BHeightM - d2*d2*curve; rise*b.run > b.rise*d2 {
			b, bAtM = horizonPoint{rise, d2}, d1
		}
	}
	return math.Atan(a.rise / a.run), math.Atan(b.rise / b.run), a.run, bAtM
}

// horizonPoint is a candidate for the horizon: its rise over the antenna,
// curvature included, and its distance, m. Candidates are compared crosswise,
// so the search needs no division.
type horizonPoint struct{ rise, run float64 }

// HorizonRises are the tangents of the angles of HorizonAngles, of a path whose ground
// is bare and comes up to the direct ray. Over that ray, itself rising by (hB-hA)/d, a
// point stands with the whole bulge c x (d-x), and the angle counts c x² below the
// level of A: what is between them is c d x.
func (s *Sightline) HorizonRises(of Slopes) (a, b float64) {
	ray, bulge := (s.BHeightM-s.AHeightM)/s.DistM[len(s.DistM)-1],
		s.DistM[len(s.DistM)-1]*radio.HalfCurvature(s.EffectiveRadiusM)
	return of.A + ray - bulge, of.B - ray - bulge
}
