package radio

import (
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

func TestComplexPermittivity(t *testing.T) {
	// By hand: 60 * 5 S/m * 0.3 m = 90; P.1812 writes the same as 18 sigma/f_GHz.
	eta := Ground{70, 5}.ComplexPermittivity(0.3)
	if eta != complex(70, -90) {
		t.Errorf("eta = %v, want 70-90j", eta)
	}
	eta = Ground{71.6, 4.93}.ComplexPermittivity(WavelengthM(868e6))
	check.Near(t, "against 18 sigma/f", -imag(eta), 18*4.93/0.868, 0.1)
}

// ITU-R P.2040 table 3, medium dry ground at 0.868 GHz; the steps of rounding are 6 and 8 %.
func TestGroundMediumDryRoundsP2040(t *testing.T) {
	check.Near(t, "permittivity", GroundMediumDry.Permittivity/(15*math.Pow(0.868, -0.1)), 1, 0.06)
	check.Near(t, "conductivity", GroundMediumDry.ConductivitySPerM/(0.035*math.Pow(0.868, 1.63)), 1, 0.08)
}
