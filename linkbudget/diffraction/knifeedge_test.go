package diffraction

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

// Exact J: 20 log10(2) at ν = 0 is in every textbook; the others were computed
// from eq 30 with mpmath's Fresnel integrals at 30 digits. Approximate J: eq 31
// worked out separately, 3 decimals (rows 5a-5d of the project's reference).
func TestKnifeEdge(t *testing.T) {
	for _, row := range []struct{ nu, exact, approx float64 }{
		{0, 6.0205999132796239, 6.033},
		{-0.78, -0.011137945076424353, 0},
		{-0.6, 1.1307894143823496, 1.231},
		{0.5, 10.233830466326909, 10.288},
		{1, 13.864105413629098, 13.926},
		{2, 19.090962378661639, 19.043},
		{3, 22.521813087540689, 22.416},
		{5, 26.936197940503118, 26.814},
		{10, 32.953517348068416, 32.855},
	} {
		check.At(t, "exact J", row.nu, float64(KnifeEdgeExact(row.nu)), row.exact, 1e-10)
		check.At(t, "approximate J", row.nu, float64(KnifeEdge(row.nu)), row.approx, 0.0006)
	}
	// Computed with mpmath, outside the range of the approximation.
	for _, row := range []struct{ nu, exact float64 }{
		{-5, -0.27287359185031758}, {1.7, 17.76540271275272}, {50, 46.932697849268511},
	} {
		check.At(t, "exact J", row.nu, float64(KnifeEdgeExact(row.nu)), row.exact, 1e-10)
	}
}

// P.526-15 §4.1: J -> 13 + 20 log10 ν for large ν. The constant is
// 20 log10(π√2) = 12.953 for eq 30 (from f -> 1/πν) and 6.9 + 20 log10(2) =
// 12.921 for eq 31.
func TestKnifeEdgeLargeNu(t *testing.T) {
	for _, nu := range []float64{1e3, 1e6, 1e12} {
		want := 20 * math.Log10(nu)
		check.At(t, "exact J - 20 log ν", nu, float64(KnifeEdgeExact(nu))-want, 20*math.Log10(math.Pi*math.Sqrt2), 1e-5)
		check.At(t, "J - 20 log ν", nu, float64(KnifeEdge(nu))-want, 6.9+20*math.Log10(2), 1e-3)
	}
}

// The approximation is at most 0.1232 dB from the exact loss, at ν = 4.57
// (computed with mpmath on a grid of 0.005).
func TestKnifeEdgeApproximationError(t *testing.T) {
	worst, at := 0.0, 0.0
	for nu := -0.7; nu <= 10; nu += 0.01 {
		if diff := math.Abs(float64(KnifeEdge(nu) - KnifeEdgeExact(nu))); !(diff <= worst) {
			worst, at = diff, nu
		}
	}
	check.At(t, "worst error", at, worst, 0.12318, 0.00001)
	check.At(t, "place of the worst error", worst, at, 4.57, 0.02)
}

// Zero at and below -0.78, and hardly a step there.
func TestKnifeEdgeCut(t *testing.T) {
	for _, nu := range []float64{-0.78, -1, -1e6, -math.MaxFloat64} {
		if got := KnifeEdge(nu); got != 0 {
			t.Errorf("J(%g) = %g, want 0", nu, got)
		}
	}
	check.At(t, "J just above the cut", -0.7799, float64(KnifeEdge(-0.7799)), 0, 0.006)
}

// A higher edge loses more; the loss is never negative nor NaN.
func TestKnifeEdgeRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nu := rapid.Float64Range(-10, 1e9).Draw(t, "nu")
		step := rapid.Float64Range(0, 100).Draw(t, "step")
		low, high := KnifeEdge(nu), KnifeEdge(nu+step)
		if !(low >= 0) || !(high >= low-1e-12) {
			t.Errorf("J(%g) = %g, J(%g) = %g", nu, low, nu+step, high)
		}
		if nu > -0.7 && !(KnifeEdgeExact(nu+step) >= KnifeEdgeExact(nu)-1e-9) {
			t.Errorf("exact J falls between %g and %g", nu, nu+step)
		}
	})
}

// Row 5e of the project's reference, computed: 868 MHz, 5 km to either side,
// 10 m high.
func TestEdgeNu(t *testing.T) {
	e := Edge{HeightM: 10, D1M: 5e3, D2M: 5e3, WavelengthM: 299792458 / 868e6}
	check.At(t, "ν", e, e.Nu(), 0.48128, 0.000006)
	check.At(t, "exact J", e, float64(KnifeEdgeExact(e.Nu())), 10.084, 0.0006)
	check.At(t, "J", e, float64(KnifeEdge(e.Nu())), 10.136, 0.0006)
	// ν = √2 h/F1 with F1 = sqrt(λ d1 d2/(d1+d2)); P.526-15 §4.1.
	f1 := math.Sqrt(e.WavelengthM * e.D1M * e.D2M / (e.D1M + e.D2M))
	check.At(t, "ν", e, e.Nu(), math.Sqrt2*e.HeightM/f1, 1e-12)
}

func ExampleKnifeEdge() {
	// A ridge 10 m above the direct ray, halfway along 10 km, at 868 MHz.
	edge := Edge{HeightM: 10, D1M: 5000, D2M: 5000, WavelengthM: 0.3454}
	fmt.Printf("nu %.2f, loss %.1f dB\n", edge.Nu(), KnifeEdge(edge.Nu()))
	// Output: nu 0.48, loss 10.1 dB
}

func BenchmarkKnifeEdge(b *testing.B) {
	nu := 1.3
	for b.Loop() {
		nu = 1 + float64(KnifeEdge(nu))*1e-3
	}
}

func BenchmarkKnifeEdgeExact(b *testing.B) {
	nu := 1.7
	for b.Loop() {
		nu = 1.7 + float64(KnifeEdgeExact(nu))*1e-3
	}
}
