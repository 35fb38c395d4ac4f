package linkbudget

import "testing"

func groundNear(t *testing.T, name string, got, want Ground, tolEps, tolSigma float64) {
	t.Helper()
	near(t, name+" permittivity", got.Permittivity, want.Permittivity, tolEps)
	near(t, name+" conductivity", got.ConductivitySPerM, want.ConductivitySPerM, tolSigma)
}

func TestGroundPowerLaw(t *testing.T) {
	// 4j published: ITU-R P.2040 table 3 at 1 GHz gives its own coefficients.
	groundNear(t, "very dry, 1 GHz", VeryDryGround(1e9), Ground{3, 0.00015}, 0, 0)
	groundNear(t, "4j medium dry, 1 GHz", MediumDryGround(1e9), Ground{15, 0.035}, 0, 0)
	groundNear(t, "wet, 1 GHz", WetGround(1e9), Ground{30, 0.15}, 0, 0)
	// Reference table 4.4, computed from the same table at 0.868 GHz.
	groundNear(t, "very dry, 868 MHz", VeryDryGround(868e6), Ground{3.00, 0.000105}, 0.005, 5e-7)
	groundNear(t, "medium dry, 868 MHz", MediumDryGround(868e6), Ground{15.2, 0.0278}, 0.05, 5e-5)
	groundNear(t, "wet, 868 MHz", WetGround(868e6), Ground{31.7, 0.125}, 0.05, 5e-4)
}

// The named grounds are the formulas at 868 MHz in round figures; 6 % and 8 %
// are the largest steps of that rounding.
func TestNamedGroundsFollowTheFormulas(t *testing.T) {
	for _, row := range []struct {
		name       string
		named, law Ground
	}{
		{"very dry", GroundVeryDry, VeryDryGround(868e6)},
		{"medium dry", GroundMediumDry, MediumDryGround(868e6)},
		{"wet", GroundWet, WetGround(868e6)},
		{"fresh water", GroundFreshWater, FreshWater(868e6, 20)},
		{"sea water", GroundSeaWater, SeaWater(868e6, 20, 35)},
	} {
		near(t, row.name+" permittivity ratio", row.named.Permittivity/row.law.Permittivity, 1, 0.06)
		near(t, row.name+" conductivity ratio", row.named.ConductivitySPerM/row.law.ConductivitySPerM, 1, 0.08)
	}
}

func TestComplexPermittivity(t *testing.T) {
	// By hand: 60 * 5 S/m * 0.3 m = 90; P.1812 writes the same as 18 sigma/f_GHz.
	eta := Ground{70, 5}.ComplexPermittivity(0.3)
	if eta != complex(70, -90) {
		t.Errorf("eta = %v, want 70-90j", eta)
	}
	eta = GroundSeaWater.ComplexPermittivity(WavelengthM(868e6))
	near(t, "against 18 sigma/f", -imag(eta), 18*4.93/0.868, 0.1)
}
