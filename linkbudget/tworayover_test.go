package linkbudget_test

import (
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/reflection"
	"github.com/polereach/polereach/terrain"
)

// Over level ground the straight fit is the ground: the rays are those of a TwoRay put
// together by hand. Behind a ridge, and over unknown ground, there are none.
func TestTwoRayOver(t *testing.T) {
	env := environment()
	a, b := linkbudget.DefaultStation("a", 12), linkbudget.DefaultStation("b", 7)
	p := terrain.Profile{DistM: []float64{0, 1000, 2000, 3000, 4000}, HeightM: []float64{100, 100, 100, 100, 100}}
	got, ok, err := linkbudget.TwoRayOver(p, a, b, env)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	want, ok := reflection.TwoRay{DistM: 4000, AHeightM: 12, BHeightM: 7, WavelengthM: radio.WavelengthM(env.FreqHz),
		Ground: radio.GroundMediumDry}.OverEarth(radio.EffectiveRadiusM(radio.KMedian))
	if !ok {
		t.Fatal("no rays by hand")
	}
	check.Near(t, "relative level", got.RelativeDB, want.RelativeDB, 0.01)
	check.Near(t, "loss", got.LossDB, want.LossDB, 0.01)
	check.Near(t, "point", got.PointM, want.PointM, 0.5)
	ridge := p
	ridge.HeightM = []float64{100, 100, 160, 100, 100}
	void := p
	void.Flags = []terrain.Flag{terrain.Ground, terrain.Void, terrain.Ground, terrain.Ground, terrain.Ground}
	for name, p := range map[string]terrain.Profile{"ridge": ridge, "void": void} {
		if two, ok, err := linkbudget.TwoRayOver(p, a, b, env); ok || err != nil || two.LossDB != 0 {
			t.Errorf("%s: %+v, %t, %v", name, two, ok, err)
		}
	}
	a.HeightM = math.NaN()
	if _, _, err := linkbudget.TwoRayOver(p, a, b, env); err == nil {
		t.Error("a height that is no number is taken")
	}
}
