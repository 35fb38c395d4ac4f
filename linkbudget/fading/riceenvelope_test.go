package fading

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

// I0 by its integral over the half circle, (1/pi) int exp(x (cos t - 1)) dt
// (Abramowitz and Stegun 9.6.16): an independent way, and figures of their
// table 9.8, exp(-x) I0(x), from memory.
func TestBesselI0Scaled(t *testing.T) {
	remembered := map[float64]float64{0: 1, 1: 0.4657596077, 2: 0.3085083225, 5: 0.1835408126, 10: 0.1278333372}
	for x, want := range remembered {
		check.Near(t, fmt.Sprintf("table 9.8 at %v", x), besselI0Scaled(x), want, 5e-10)
	}
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(0, 200).Draw(t, "x")
		// The integrand is periodic and even: the trapezoidal rule converges faster
		// than any power of the step.
		const steps = 400
		var want float64
		for i := range steps {
			want += math.Exp(x*(math.Cos(2*math.Pi*float64(i)/steps)-1)) / steps
		}
		if got := besselI0Scaled(x); !(math.Abs(got/want-1) <= 1e-13) {
			t.Fatalf("%v: %v, want %v", x, got, want)
		}
	})
}

// The density integrates to 1 and has the second moment 1 + s^2: unit noise
// power beside the wave's.
func TestRiceDensityMoments(t *testing.T) {
	for _, s := range []float64{0, 0.3, 1, 3, 10, 100} {
		lo, hi := max(0, s-riceReach), s+riceReach
		mass := GaussLegendre(func(r float64) float64 { return RiceDensity(r, s) }, lo, hi, 1)
		power := GaussLegendre(func(r float64) float64 { return r * r * RiceDensity(r, s) }, lo, hi, 1)
		check.Near(t, fmt.Sprintf("mass at s = %v", s), mass, 1, 1e-12)
		check.Near(t, fmt.Sprintf("power at s = %v", s), power/(1+s*s), 1, 1e-12)
	}
}

// Ten points integrate polynomials up to the 19th degree exactly.
func TestGaussLegendre(t *testing.T) {
	for degree := range 20 {
		got := GaussLegendre(func(x float64) float64 { return math.Pow(x, float64(degree)) }, 0, 1, 1)
		check.Near(t, fmt.Sprintf("x^%d", degree), got, 1/float64(degree+1), 1e-15)
	}
	check.Near(t, "in panels", GaussLegendre(math.Exp, -1, 2, 0.4), math.Exp(2)-math.Exp(-1), 1e-14)
	for _, hi := range []float64{1, 0, math.NaN()} {
		check.Near(t, "empty range", GaussLegendre(math.Exp, 1, hi, 1), 0, 0)
	}
}
