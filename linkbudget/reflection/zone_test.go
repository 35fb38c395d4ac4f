package reflection

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

func TestReflectionZoneComputed(t *testing.T) {
	// Reference 4.5 step 2, 868 MHz, computed.
	for _, row := range []struct{ distM, aM, bM, from, to float64 }{
		{1e3, 10, 2, 206, 990}, {10e3, 30, 10, 1825, 9758},
	} {
		from, to := at868(row.distM, row.aM, row.bM, radio.Ground{}, radio.Vertical).ZoneM()
		check.Near(t, fmt.Sprintf("%+v from", row), from, row.from, 0.5)
		check.Near(t, fmt.Sprintf("%+v to", row), to, row.to, 0.5)
	}
}

// At both bounds the way over the ground is half a wavelength longer than the
// mirror way, with true lengths, and the mirror point lies between.
func TestReflectionZoneDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ray := drawTwoRay(t)
		ray.DistM += 200 * (ray.AHeightM + ray.BHeightM)
		h1, h2, d := ray.AHeightM, ray.BHeightM, ray.DistM
		from, to := ray.ZoneM()
		if mirror := d * h1 / (h1 + h2); !(0 <= from && from < mirror && mirror < to && to <= d) {
			t.Fatalf("zone %g to %g m, mirror point %g m of %g m", from, to, mirror, d)
		}
		// Heights must be small against the legs for the second order to hold.
		for _, x := range []float64{from, to} {
			if x < 30*h1 || d-x < 30*h2 {
				continue
			}
			excess := math.Hypot(x, h1) + math.Hypot(d-x, h2) - math.Hypot(d, h1+h2)
			if !(math.Abs(excess-ray.WavelengthM/2) <= 2e-3*ray.WavelengthM) {
				t.Fatalf("at %g m the way is %g m longer, want %g m", x, excess, ray.WavelengthM/2)
			}
		}
		ray.AHeightM, ray.BHeightM = h2, h1
		back, forth := ray.ZoneM()
		if !(math.Abs(from+forth-d) <= 1e-6*d && math.Abs(to+back-d) <= 1e-6*d) {
			t.Fatalf("zone %g to %g m, from B %g to %g m", from, to, back, forth)
		}
	})
}
