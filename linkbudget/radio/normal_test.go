package radio

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

// Normal tables, published, four decimals; section 7.1 of the reference.
func TestNormalQuantile(t *testing.T) {
	for _, row := range []struct{ p, z float64 }{
		{0.50, 0}, {0.75, 0.6745}, {0.80, 0.8416}, {0.90, 1.2816}, {0.95, 1.6449}, {0.99, 2.3263},
		{0.01, -2.3263}, {0.05, -1.6449}, {0.1, -1.2816}, // 7b, exact column
	} {
		got, err := NormalQuantile(row.p)
		if err != nil {
			t.Error(err)
		}
		check.Near(t, "quantile", got, row.z, 0.00005)
		check.Near(t, "Phi", Phi(row.z), row.p, 0.00002)
	}
	// Far tails: Q(6) = 9.865876450e-10, Q(7) = 1.279812544e-12 (published
	// tables of the complementary normal, e.g. Abramowitz & Stegun 26.2).
	for _, row := range []struct{ p, z float64 }{{9.865876450e-10, -6}, {1.279812544e-12, -7}} {
		got, err := NormalQuantile(row.p)
		if err != nil {
			t.Error(err)
		}
		check.Near(t, "far quantile", got, row.z, 1e-9)
	}
	for _, p := range []float64{0, 1, -0.1, 1.1, 1e-16, math.NaN(), math.Inf(1)} {
		if z, err := NormalQuantile(p); err == nil {
			t.Errorf("share %v: %v", p, z)
		}
	}
}

func TestNormalQuantileInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := rapid.Float64Range(-7.5, 5).Draw(t, "z")
		got, err := NormalQuantile(Phi(z))
		if err != nil || !(math.Abs(got-z) <= 1e-9) {
			t.Fatalf("quantile(Phi(%v)) = %v, %v", z, got, err)
		}
	})
}

// complementaryApproximation is I(x) of the attachment to ITU-R P.1812, a
// second way to the quantile, stated to be good to 0.0005.
func complementaryApproximation(x float64) float64 {
	if x > 0.5 {
		return -complementaryApproximation(1 - x)
	}
	t := math.Sqrt(-2 * math.Log(x))
	return t - ((0.010328*t+0.802853)*t+2.515516698)/(((0.001308*t+0.189269)*t+1.432788)*t+1)
}

func TestNormalQuantileAgainstP1812(t *testing.T) {
	// 7b, computed: what the approximation gives.
	check.Near(t, "I(0.01)", complementaryApproximation(0.01), 2.3268, 0.0001)
	check.Near(t, "I(0.05)", complementaryApproximation(0.05), 1.6452, 0.0001)
	check.Near(t, "I(0.1)", complementaryApproximation(0.1), 1.2817, 0.0001)
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "x")
		got, err := NormalQuantile(x)
		if err != nil || !(math.Abs(got+complementaryApproximation(x)) <= 0.0005) {
			t.Fatalf("quantile(%v) = %v, %v, approximation %v", x, got, err, -complementaryApproximation(x))
		}
	})
}
