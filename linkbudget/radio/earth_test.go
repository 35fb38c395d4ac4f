package radio

import (
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

// Of the effective earth for a lapse rate DN, k = 157/(157 - DN): ITU-R P.1812-6 eq (6).
func kOfLapse(dN float64) float64 { return 157 / (157 - dN) }

// The a_e of the validation files, published: 3a of P.1812-6, 3b of P.452-18
// flat_land_5km, and flat_land_100km for the DN of its column.
func TestEffectiveRadiusPublished(t *testing.T) {
	check.Near(t, "3a DN 45", EffectiveRadiusM(kOfLapse(45)), 8930776.786, 0.01)
	check.Near(t, "3b DN 42.53126", EffectiveRadiusM(kOfLapse(42.53126)), 8738167.287, 1)
	check.Near(t, "DN 42.496465", EffectiveRadiusM(kOfLapse(42.496465)), 8735511.968, 0.1)
}

// The airs that the constants stand for: the mean atmosphere 315 exp(-h/7.35 km) of P.453
// (from memory) falls by 40.07 N in the first km; none; and one that rises by 78.5 N.
func TestNamedAirs(t *testing.T) {
	check.Near(t, "mean atmosphere", kOfLapse(315*(1-math.Exp(-1/7.35))), KMedian, 0.01)
	check.Near(t, "no gradient", kOfLapse(0), KConservative, 0)
	check.Near(t, "upwards", kOfLapse(-78.5), KSubRefraction, 1e-12)
}

func TestHalfCurvatureDefault(t *testing.T) {
	check.Near(t, "0 means k = 4/3", HalfCurvature(0), HalfCurvature(EffectiveRadiusM(KMedian)), 0)
	check.Near(t, "flat", HalfCurvature(math.Inf(1)), 0, 0)
}
