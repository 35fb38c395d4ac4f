package reflection

import (
	"fmt"
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

// rippleByQuadrature is the mean and standard deviation of 20 log|1+rho e^(j phi)|
// over all phases, summed by the midpoint rule: no series, no dilogarithm.
func rippleByQuadrature(rho float64) (mean, sigma float64) {
	const steps = 200000
	var sum, squares float64
	for i := range steps {
		phi := 2 * math.Pi * (float64(i) + 0.5) / steps
		db := 10 * math.Log10(1+rho*rho+2*rho*math.Cos(phi))
		sum += db
		squares += db * db
	}
	mean = sum / steps
	return mean, math.Sqrt(squares/steps - mean*mean)
}

func TestRippleSigmaComputed(t *testing.T) {
	// Reference 4.5 step 5, computed. Its first two figures, 0.62 and 1.24, are
	// rounded up: both methods here give 0.615 and 1.235.
	for _, row := range []struct{ rho, want float64 }{
		{0.1, 0.615}, {0.2, 1.235}, {0.3, 1.86}, {0.5, 3.18}, {0.7, 4.63},
		{0.8, 5.46}, {0.9, 6.43}, {0.95, 7.02}, {1, 7.88},
	} {
		check.Near(t, fmt.Sprintf("rho %g", row.rho), float64(RippleSigma(row.rho)), row.want, 0.005)
	}
}

func TestRippleSigmaAgainstQuadrature(t *testing.T) {
	for _, rho := range []float64{0, 0.05, 0.2, 0.5, 0.7071, 0.7072, 0.9, 0.99, 1.25, 4} {
		mean, sigma := rippleByQuadrature(rho)
		check.Near(t, fmt.Sprintf("sigma, rho %g", rho), float64(RippleSigma(rho)), sigma, 1e-5)
		// Jensen: no bias up to 1, the stronger ray sets the mean above.
		check.Near(t, fmt.Sprintf("mean, rho %g", rho), mean, 20*math.Log10(math.Max(1, rho)), 1e-9)
	}
}

func TestRippleExtremes(t *testing.T) {
	null, peak := RippleExtremes(0.5)
	check.Near(t, "null of 0.5", float64(null), -6.0206, 1e-4)
	check.Near(t, "peak of 0.5", float64(peak), 3.5218, 1e-4)
	null, peak = RippleExtremes(1)
	check.Near(t, "null of 1, cut", float64(null), -120, 1e-9)
	check.Near(t, "peak of 1", float64(peak), 6.0206, 1e-4)
	null, peak = RippleExtremes(0)
	check.Near(t, "no reflection", math.Abs(float64(null))+math.Abs(float64(peak)), 0, 0)
}

func TestDilogarithm(t *testing.T) {
	// Closed values of any table (Abramowitz and Stegun 27.7, from memory):
	// Li2(1) = pi^2/6, Li2(1/2) = pi^2/12 - ln^2(2)/2; the golden section g =
	// (sqrt 5 - 1)/2: Li2(g) = pi^2/10 - ln^2 g, Li2(g^2) = pi^2/15 - ln^2 g.
	g := (math.Sqrt(5) - 1) / 2
	log := math.Log(g) * math.Log(g)
	for _, row := range []struct{ x, want float64 }{
		{0, 0}, {1, math.Pi * math.Pi / 6},
		{0.5, math.Pi*math.Pi/12 - math.Ln2*math.Ln2/2},
		{g, math.Pi*math.Pi/10 - log}, {g * g, math.Pi*math.Pi/15 - log},
	} {
		check.Near(t, fmt.Sprintf("Li2(%g)", row.x), dilogarithm(row.x), row.want, 1e-14)
	}
}

func BenchmarkRippleSigma(b *testing.B) {
	for b.Loop() {
		RippleSigma(0.9)
	}
}
