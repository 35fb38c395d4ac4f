package reflection

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

func at868(distM, aM, bM float64, g radio.Ground, p radio.Polarisation) TwoRay {
	return TwoRay{
		DistM: distM, AHeightM: aM, BHeightM: bM, WavelengthM: radio.WavelengthM(868e6),
		Ground: g, Polarisation: p,
	}
}

func TestTwoRayFlatComputed(t *testing.T) {
	// 4a-4d, computed from section 4.1 of the reference, flat earth, rho_s = D = 1.
	soil, wet, sea := radio.Ground{Permittivity: 15, ConductivitySPerM: 0.035}, radio.Ground{Permittivity: 30,
		ConductivitySPerM: 0.14}, radio.Ground{Permittivity: 70, ConductivitySPerM: 5}
	for _, row := range []struct {
		name string
		ray  TwoRay
		want float64
	}{
		{"4a V", at868(1000, 10, 2, soil, radio.Vertical), 94.536},
		{"4a H", at868(1000, 10, 2, soil, radio.Horizontal), 94.198},
		{"4b V", at868(5000, 10, 2, soil, radio.Vertical), 121.979},
		{"4b H", at868(5000, 10, 2, soil, radio.Horizontal), 121.949},
		{"4c V", at868(200, 10, 10, wet, radio.Vertical), 78.948},
		{"4d V", at868(2000, 20, 10, sea, radio.Vertical), 92.537},
	} {
		check.Near(t, row.name, float64(row.ray.OverFlat().LossDB), row.want, 0.01)
	}
	pair := at868(200, 10, 10, wet, radio.Vertical).OverFlat()
	check.Near(t, "4c grazing angle", pair.GrazingRad/degree, 5.711, 0.0005)
	check.Near(t, "4c |Gamma|", cmplx.Abs(pair.Gamma), 0.2868, 0.0001)
	gamma := at868(2000, 20, 10, sea, radio.Vertical).OverFlat().Gamma
	check.Near(t, "4d |Gamma|", cmplx.Abs(gamma), 0.7425, 0.0001)
	check.Near(t, "4d phase", cmplx.Phase(gamma)/degree, -170.84, 0.01)
}

// planeEarth is the loss far beyond the breakpoint, 40 log d - 20 log(h1 h2): the
// reflection all but cancels the direct ray, and frequency drops out.
func planeEarth(t TwoRay) radio.DB {
	return radio.DB(40*math.Log10(t.DistM) - 20*math.Log10(t.AHeightM*t.BHeightM))
}

func TestPlaneEarthAndBreakpoint(t *testing.T) {
	ray := at868(5000, 10, 2, radio.Ground{Permittivity: 15, ConductivitySPerM: 0.035}, radio.Vertical)
	check.Near(t, "4b plane earth (computed)", float64(planeEarth(ray)), 121.94, 0.005)
	check.Near(t, "4f breakpoint (computed)", ray.BreakpointM(), 231.6, 0.1)
	// Table 4.6, column plane-earth total, computed.
	for _, row := range []struct{ distM, aM, bM, want float64 }{
		{1e3, 10, 2, 93.98}, {5e3, 10, 2, 121.94}, {10e3, 10, 10, 120.00},
		{20e3, 30, 10, 122.50}, {10e3, 30, 30, 100.92}, {5e3, 2, 2, 135.92},
	} {
		got := planeEarth(at868(row.distM, row.aM, row.bM, radio.Ground{}, radio.Vertical))
		check.Near(t, fmt.Sprintf("plane earth %+v", row), float64(got), row.want, 0.005)
	}
}

func TestTwoRayOverEarthComputed(t *testing.T) {
	// Table 4.6, column two-ray loss over free space with D, computed there:
	// 868 MHz, V, eps 22, sigma 0.003, ae 8500 km. The L_dsph column is the
	// residue series of P.526 inside line of sight: the two-ray sum must stay
	// within 2.2 dB of it where it is offered at all.
	ground := radio.Ground{Permittivity: 22, ConductivitySPerM: 0.003}
	for _, row := range []struct{ distM, aM, bM, twoRay, residue float64 }{
		{1e3, 10, 2, 3.39, 2.41}, {5e3, 10, 2, 17.28, 16.27},
		{10e3, 10, 10, 10.86, 9.82}, {20e3, 30, 10, 9.34, 9.16},
	} {
		pair, ok := at868(row.distM, row.aM, row.bM, ground, radio.Vertical).OverEarth(8500e3)
		if !ok {
			t.Fatalf("%+v refused", row)
		}
		check.Near(t, fmt.Sprintf("%+v", row), -float64(pair.RelativeDB), row.twoRay, 0.005)
		check.Near(t, fmt.Sprintf("%+v against the residue series", row), -float64(pair.RelativeDB), row.residue, 2.2)
	}
	pair, ok := at868(10e3, 30, 30, ground, radio.Vertical).OverEarth(8500e3)
	if !ok {
		t.Fatal("10 km, 30/30 m refused")
	}
	check.Near(t, "10 km, 30/30 m: a gain", float64(pair.RelativeDB), 5.55, 0.005)
	if pair, ok := at868(5e3, 2, 2, ground, radio.Vertical).OverEarth(8500e3); ok {
		t.Errorf("4h: 5 km, 2/2 m gives %.1f dB, must be refused", -pair.RelativeDB)
	}
	if _, ok := at868(30e3, 10, 10, ground, radio.Vertical).OverEarth(0); ok {
		t.Error("behind the horizon of the smooth earth: must be refused")
	}
}

// What RayOptics promises: wherever the two-ray sum is offered and diffraction
// is not yet 0, it stays within 2.8 dB of the spherical-earth diffraction of
// P.526, a model of another kind. The figure is the largest found on a grid of
// 1140 distances and 196 heights each: 2.72 dB, for 1 m antennas 1330 m apart.
func TestTwoRayMeetsDiffraction(t *testing.T) {
	offered := 0
	rapid.Check(t, func(t *rapid.T) {
		distM := math.Exp(rapid.Float64Range(math.Log(200), math.Log(60e3)).Draw(t, "log distM"))
		aM := rapid.Float64Range(1, 50).Draw(t, "aM")
		bM := rapid.Float64Range(1, 50).Draw(t, "bM")
		ground := radio.Ground{Permittivity: 22, ConductivitySPerM: 0.003} // land of ITU-R P.1812-6 §4.3.3
		pair, ok := at868(distM, aM, bM, ground, radio.Vertical).OverEarth(8500e3)
		smooth := diffraction.SmoothPath{
			DistM: distM, EffectiveAM: aM, EffectiveBM: bM, ClearM: 1,
			EffectiveRadiusM: 8500e3, FreqHz: 868e6, Polarisation: radio.Vertical,
		}
		diffraction, _ := smooth.Losses()
		if !ok || diffraction == 0 {
			return
		}
		offered++
		if !(math.Abs(float64(-pair.RelativeDB-diffraction)) <= 2.8) {
			t.Fatalf("two rays %v, diffraction %v", -pair.RelativeDB, diffraction)
		}
	})
	if offered == 0 {
		t.Error("no path drawn where both models speak")
	}
}

func drawTwoRay(t *rapid.T) TwoRay {
	return TwoRay{
		DistM:        rapid.Float64Range(100, 30e3).Draw(t, "distM"),
		AHeightM:     rapid.Float64Range(1, 60).Draw(t, "aM"),
		BHeightM:     rapid.Float64Range(1, 60).Draw(t, "bM"),
		WavelengthM:  radio.WavelengthM(rapid.Float64Range(400e6, 2.4e9).Draw(t, "freqHz")),
		Ground:       drawGround(t),
		Polarisation: radio.Polarisation(rapid.IntRange(0, 1).Draw(t, "polarisation")),
		SpreadM:      rapid.Float64Range(0, 2).Draw(t, "spreadM"),
	}
}

func TestTwoRayProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ray := drawTwoRay(t)
		swapped := ray
		swapped.AHeightM, swapped.BHeightM = ray.BHeightM, ray.AHeightM
		pair, back := ray.OverFlat(), swapped.OverFlat()
		if !(math.Abs(float64(pair.LossDB-back.LossDB)) <= 1e-6) {
			t.Fatalf("loss %v, ends swapped %v", pair.LossDB, back.LossDB)
		}
		if !(math.Abs(pair.PointM+back.PointM-ray.DistM) <= 1e-6) {
			t.Fatalf("reflection at %g m and from B %g m", pair.PointM, back.PointM)
		}
		null, peak := RippleExtremes(pair.Rho)
		if !(pair.Rho <= 1 && pair.RelativeDB >= null-1e-9 && pair.RelativeDB <= peak+1e-9) {
			t.Fatalf("rho %g, level %v outside %v to %v", pair.Rho, pair.RelativeDB, null, peak)
		}
		if sum := pair.LossDB + pair.RelativeDB - radio.FreeSpace(pair.DirectM,
			radio.SpeedOfLightMS/ray.WavelengthM); !(math.Abs(float64(sum)) <= 1e-9) {
			t.Fatalf("loss and level do not add up: %v", sum)
		}
		// The curved earth turns into the flat one.
		curved, ok := ray.OverEarth(math.Inf(1))
		if !ok || !(math.Abs(float64(curved.LossDB-pair.LossDB)) <= 1e-6) {
			t.Fatalf("flat limit: %+v, want %+v (%v)", curved, pair, ok)
		}
	})
}

// Far beyond the breakpoint every ground gives the plane-earth loss.
func TestPlaneEarthIsTheLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ray := drawTwoRay(t)
		ray.SpreadM, ray.Polarisation = 0, radio.Horizontal
		ray.Ground = radio.GroundMediumDry
		ray.DistM = 300 * (ray.BreakpointM() + 10*(ray.AHeightM+ray.BHeightM))
		got := ray.OverFlat().LossDB
		if !(math.Abs(float64(got-planeEarth(ray))) <= 0.1) {
			t.Fatalf("%+v: %v, plane earth %v", ray, got, planeEarth(ray))
		}
	})
}

func TestTwoRayStrength(t *testing.T) {
	// Antennas on the ground: both rays cancel exactly. No infinity comes out.
	pair := TwoRay{DistM: 1e3, AHeightM: 1e-12, BHeightM: 1e-12, WavelengthM: 0.345,
		Ground: radio.Ground{Permittivity: 30, ConductivitySPerM: 0.13}}.OverFlat()
	check.Near(t, "cut null", float64(pair.RelativeDB), -120, 1e-9)
	// The longer way spreads more: 30 m direct, hypot(30, 80) m by the ground.
	steep := at868(30, 40, 40, radio.Ground{Permittivity: 30, ConductivitySPerM: 0.13}, radio.Horizontal).OverFlat()
	check.Near(t, "r1/r2", steep.Rho/cmplx.Abs(steep.Gamma), 30/math.Hypot(30, 80), 1e-12)
}
