package linkbudget

import (
	"math"
	"testing"

	"pgregory.net/rapid"
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
		near(t, "quantile", got, row.z, 0.00005)
		near(t, "Phi", Phi(row.z), row.p, 0.00002)
	}
	// Far tails: Q(6) = 9.865876450e-10, Q(7) = 1.279812544e-12 (published
	// tables of the complementary normal, e.g. Abramowitz & Stegun 26.2).
	for _, row := range []struct{ p, z float64 }{{9.865876450e-10, -6}, {1.279812544e-12, -7}} {
		got, err := NormalQuantile(row.p)
		if err != nil {
			t.Error(err)
		}
		near(t, "far quantile", got, row.z, 1e-9)
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
	near(t, "I(0.01)", complementaryApproximation(0.01), 2.3268, 0.0001)
	near(t, "I(0.05)", complementaryApproximation(0.05), 1.6452, 0.0001)
	near(t, "I(0.1)", complementaryApproximation(0.1), 1.2817, 0.0001)
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "x")
		got, err := NormalQuantile(x)
		if err != nil || !(math.Abs(got+complementaryApproximation(x)) <= 0.0005) {
			t.Fatalf("quantile(%v) = %v, %v, approximation %v", x, got, err, -complementaryApproximation(x))
		}
	})
}

func TestLocationVariability(t *testing.T) {
	// 7a, computed apart from this program.
	for cellM, want := range map[float64]float64{50: 1.617, 100: 1.964, 500: 3.082, 1000: 3.742} {
		got, err := LocationVariability{FreqHz: 868e6, CellM: cellM}.Sigma()
		if err != nil {
			t.Error(err)
		}
		near(t, "7a", float64(got), want, 0.0005)
	}
	// u_h: 1 in the clutter, 1/2 at 5 m over the tops, 0 from 10 m on.
	for heightM, share := range map[float64]float64{2: 1, 15: 1, 20: 0.5, 24: 0.1, 25: 0, 100: 0} {
		got, err := LocationVariability{FreqHz: 868e6, CellM: 100, HeightM: heightM, TopM: 15}.Sigma()
		if err != nil {
			t.Error(err)
		}
		near(t, "u_h", float64(got), share*1.9636, 0.0001)
	}
	for _, bad := range []LocationVariability{
		{FreqHz: 20e6, CellM: 100}, {FreqHz: 868e6, CellM: 49}, {FreqHz: 868e6, CellM: 1001},
		{FreqHz: 868e6, CellM: 100, HeightM: -1}, {FreqHz: 868e6, CellM: 100, TopM: math.NaN()},
	} {
		if got, err := bad.Sigma(); err == nil {
			t.Errorf("%+v: %v dB", bad, got)
		}
	}
	// 7c, computed: 95 % of places with the 5.5 dB of broadcast planning.
	z, _ := NormalQuantile(0.95)
	near(t, "7c", 5.5*z, 9.05, 0.005)
}

// ITU-R P.1546 §12 at 868 MHz: constants from memory, values computed.
func TestLocationSigmaBroadcast(t *testing.T) {
	for k, want := range map[float64]float64{LocationKBelowClutter: 5.0, LocationKRooftop: 4.8, LocationKRural: 4.3} {
		got, err := LocationSigmaBroadcast(k, 868e6)
		if err != nil {
			t.Error(err)
		}
		near(t, "sigma", float64(got), want, 0.05)
	}
	for _, bad := range [][2]float64{{-1, 868e6}, {math.NaN(), 868e6}, {1, 1e6}, {1, math.Inf(1)}} {
		if got, err := LocationSigmaBroadcast(bad[0], bad[1]); err == nil {
			t.Errorf("%v: %v dB", bad, got)
		}
	}
}
