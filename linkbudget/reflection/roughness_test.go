package reflection

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

func TestRoughness(t *testing.T) {
	// 4i, computed: s_h 0.3 m, psi 2°, 868 MHz: g 0.381, rho_s 0.930.
	r := Roughness{SpreadM: 0.3, GrazingRad: 2 * degree, WavelengthM: radio.WavelengthM(868e6)}
	check.Near(t, "4i g", r.phaseSpreadRad(), 0.381, 0.0005)
	check.Near(t, "4i rho_s", r.Factor(), 0.930, 0.0005)
	check.Near(t, "mirror", Roughness{GrazingRad: 1, WavelengthM: 0.345}.Factor(), 1, 0)
	check.Near(t, "mountains", Roughness{SpreadM: 500, GrazingRad: 0.2, WavelengthM: 0.345}.Factor(), 0, 1e-300)
}

// The Rayleigh criterion as printed: smooth below lambda/(8 sin psi).
func TestRayleighCriterion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Roughness{
			GrazingRad:  rapid.Float64Range(0.001, math.Pi/2).Draw(t, "grazingRad"),
			WavelengthM: rapid.Float64Range(0.1, 3).Draw(t, "wavelengthM"),
		}
		limitM := r.WavelengthM / (8 * math.Sin(r.GrazingRad))
		r.SpreadM = 0.999 * limitM
		if !r.Smooth() {
			t.Fatalf("%+v is smooth", r)
		}
		r.SpreadM = 1.001 * limitM
		if r.Smooth() {
			t.Fatalf("%+v is rough", r)
		}
	})
	if !(Roughness{SpreadM: 100, WavelengthM: 0.345}).Smooth() {
		t.Error("at grazing 0 every surface is smooth")
	}
}
