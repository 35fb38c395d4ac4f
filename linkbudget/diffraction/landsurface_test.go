package diffraction

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/radio"
)

// Land prepared for two earths gives on them, and on any other, what land does
// that nobody prepared; the equations themselves stand against published figures
// in the tests of the spherical earth.
func TestLandSurfaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := smoothEarthPath{
			distM: rapid.Float64Range(100, 90e3).Draw(t, "dist"),
			hAM:   rapid.Float64Range(0.1, 300).Draw(t, "hA"), hBM: rapid.Float64Range(0.1, 300).Draw(t, "hB"),
			freqHz:       rapid.Float64Range(100e6, 3e9).Draw(t, "freq"),
			polarisation: radio.Polarisation(rapid.IntRange(0, 1).Draw(t, "polarisation")),
		}
		land := NewLand(p.freqHz, p.polarisation, 8.5e6, 6.4e6)
		prepared := p
		prepared.Land = &land
		for _, radiusM := range []float64{8.5e6, 6.4e6, rapid.Float64Range(1e5, 5e7).Draw(t, "radius")} {
			got, want := prepared.firstTerm(radiusM), p.firstTerm(radiusM)
			if !(math.Abs(float64(got-want)) <= 1e-12*math.Abs(float64(want))) {
				t.Fatalf("%g m: %v dB, want %v", radiusM, got, want)
			}
		}
	})
}
