package linkbudget

import (
	"math"
	"sort"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/reflection"
	"github.com/polereach/polereach/terrain"
)

// Reflection describes the ray that the ground under a path with line of sight
// reflects from one antenna to the other. It shows how far the level may lie
// off the median; it is never added to diffraction.
type Reflection struct {
	// AtM is the reflection point's distance from A, FromM to ToM the zone
	// around it that takes part; m.
	AtM, FromM, ToM float64
	// GrazingDeg is the angle between ray and ground.
	GrazingDeg float64
	// SpreadM is the roughness of the ground inside the zone: the standard
	// deviation about its straight fit, m.
	SpreadM float64
	// Rho is the strength of the reflected ray against the direct one,
	// roughness and divergence included, 0 to 1.
	Rho float64
	// NullDB and PeakDB are the extremes 20 log(1 -+ Rho).
	NullDB, PeakDB DB
	// BreakpointM is 4 h1 h2/lambda over the fitted ground.
	BreakpointM float64
	// Visible says that both ends see the reflection point with 0.6 of the
	// first Fresnel zone of each leg free.
	Visible bool
	// Smooth says that SpreadM passes the Rayleigh criterion.
	Smooth bool
}

// negligibleRho changes the level by less than 1 dB either way.
const negligibleRho = 0.1

// Possible reports whether the reflection can matter: visible, and strong
// enough to shift the level by about 1 dB.
func (r *Reflection) Possible() bool { return r.Visible && r.Rho >= negligibleRho }

// reflected finds the reflection over the straight fit of the ground, or nil
// where two rays do not describe the field (see [reflection.TwoRay.OverEarth]) or an
// antenna is not above the fit. Land cover is not known here: a wooded or
// built-up zone reflects less than this says.
// The rays come with it.
func reflected(p *terrain.Profile, sight *diffraction.Sightline, ground *diffraction.Relief,
	polarisation radio.Polarisation, skipM float64) (*Reflection, reflection.RayPair) {
	two := reflection.TwoRay{DistM: p.LengthM(), WavelengthM: sight.WavelengthM, Ground: radio.GroundMediumDry,
		Polarisation: polarisation}
	two.AHeightM, two.BHeightM = ground.Fitted()
	if !(two.AHeightM > 0 && two.BHeightM > 0) {
		return nil, reflection.RayPair{}
	}
	r := &Reflection{BreakpointM: two.BreakpointM()}
	r.FromM, r.ToM = two.ZoneM()
	from := sort.SearchFloat64s(p.DistM, r.FromM)
	to := min(sort.SearchFloat64s(p.DistM, r.ToM)+1, len(p.DistM))
	if to-from >= 2 {
		r.SpreadM = diffraction.FitGround(p.DistM[from:to], p.HeightM[from:to]).SpreadM
	}
	two.SpreadM = r.SpreadM
	pair, ok := two.OverEarth(sight.EffectiveRadiusM)
	if !ok {
		return nil, pair
	}
	r.AtM, r.GrazingDeg, r.Rho = pair.PointM, pair.GrazingRad*180/math.Pi, math.Min(pair.Rho, 1)
	r.Smooth = reflection.Roughness{SpreadM: r.SpreadM, GrazingRad: pair.GrazingRad, WavelengthM: two.WavelengthM}.Smooth()
	r.NullDB, r.PeakDB = reflection.RippleExtremes(r.Rho)
	r.Visible = sight.LegsClear(r.AtM, skipM)
	return r, pair
}

// TwoRayOver sums the direct ray of a path and the one that the ground reflects, over the
// straight fit of the ground on the earth bent by Environment.K, with the roughness of the
// reflecting zone, reflection by medium dry ground and the polarisation of the antennas.
// It explains a link and must not be added to the loss of [Evaluate], which holds the
// reflected wave already. It is false where two rays do not describe the field: without
// line of sight, over unknown ground, or where [reflection.TwoRay.OverEarth] is. Errors are
// those of Evaluate.
func TwoRayOver(p terrain.Profile, a, b Station, env Environment) (reflection.RayPair, bool, error) {
	var f Brief
	w, err := evaluated(&f, &p, &a, &b, &env)
	if err != nil {
		return reflection.RayPair{}, false, err
	}
	defer w.release()
	if e := &w.evaluation; f.Verdict != Unknown && e.loss.diffraction.LineOfSight {
		r, pair := reflected(e.profile, &e.sight, &e.ground, e.loss.path.Polarisation, e.skipM)
		return pair, r != nil, nil
	}
	return reflection.RayPair{}, false, nil
}
