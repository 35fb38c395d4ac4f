package radio

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

func TestFresnelRadius(t *testing.T) {
	// 2b-2d: computed from ITU-R P.526-15 eq (2).
	for _, row := range []struct {
		name             string
		d1M, d2M, freqHz float64
		want             float64
	}{
		{"2b middle of 10 km, 868 MHz", 5e3, 5e3, 868e6, 29.385},
		{"2c middle of 20 km, 915 MHz", 10e3, 10e3, 915e6, 40.475},
		{"2d 1 km / 9 km, 868 MHz", 1e3, 9e3, 868e6, 17.631},
	} {
		zone := FresnelZone{D1M: row.d1M, D2M: row.d2M, WavelengthM: WavelengthM(row.freqHz)}
		check.Near(t, row.name, zone.RadiusM(), row.want, 0.005)
	}
}

func TestFresnelPracticalForms(t *testing.T) {
	// The forms for km and MHz or GHz, published with rounded factors: 550 in
	// P.526-15 eq (3), 17.3 in P.530-18 eq (3). They allow 0.5 % and 0.1 %.
	for _, d1Km := range []float64{0.5, 2, 5} {
		got := FresnelZone{D1M: d1Km * 1e3, D2M: 5e3, WavelengthM: WavelengthM(868e6)}.RadiusM()
		check.Near(t, "550 form", got/(550*math.Sqrt(d1Km*5/((d1Km+5)*868))), 1, 0.005)
		check.Near(t, "17.3 form", got/(17.3*math.Sqrt(d1Km*5/(0.868*(d1Km+5)))), 1, 0.001)
	}
}

// The definition, P.526-15 eq (1): the way over a point on the ellipsoid is
// half a wavelength longer. The radius formula is its second-order form.
func TestFresnelDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := FresnelZone{
			D1M: rapid.Float64Range(500, 50e3).Draw(t, "d1M"),
			D2M: rapid.Float64Range(500, 50e3).Draw(t, "d2M"), WavelengthM: 0.345,
		}
		r := z.RadiusM()
		excess := r*r/(math.Hypot(z.D1M, r)+z.D1M) + r*r/(math.Hypot(z.D2M, r)+z.D2M)
		want := z.WavelengthM / 2
		if !(math.Abs(excess/want-1) <= 0.002) {
			t.Fatalf("%+v: way longer by %g m, want %g m", z, excess, want)
		}
		swapped := FresnelZone{D1M: z.D2M, D2M: z.D1M, WavelengthM: z.WavelengthM}
		if !(math.Abs(swapped.RadiusM()-r) <= 1e-9) {
			t.Fatalf("radius %g m, ends swapped %g m", r, swapped.RadiusM())
		}
	})
}

func TestFresnelEnds(t *testing.T) {
	for _, z := range []FresnelZone{
		{D1M: 0, D2M: 100, WavelengthM: 0.3},
		{D1M: 0, D2M: 0, WavelengthM: 0.3},
		{D1M: -5, D2M: 100, WavelengthM: 0.3},
	} {
		if r := z.RadiusM(); r != 0 {
			t.Errorf("%+v: radius %g m, want 0", z, r)
		}
	}
}

func ExampleFresnelZone() {
	zone := FresnelZone{D1M: 5000, D2M: 5000, WavelengthM: WavelengthM(868e6)}
	fmt.Printf("first zone %.1f m, to be kept free %.1f m\n", zone.RadiusM(), 0.6*zone.RadiusM())
	// Output: first zone 29.4 m, to be kept free 17.6 m
}
