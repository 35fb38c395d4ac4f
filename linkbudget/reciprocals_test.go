package linkbudget

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Slopes and closeness by reciprocals order points as divisions do, whatever the
// unit: all ratios to the first point's agree.
func TestReciprocals(t *testing.T) {
	var r reciprocals
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 90).Draw(t, "points")
		stepM := rapid.Float64Range(1, 300).Draw(t, "step")
		jitter := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0.01, 0.4)).Draw(t, "jitter")
		dist := make([]float64, n)
		for i := range dist {
			dist[i] = stepM * (float64(i) + jitter*math.Sin(float64(i)))
		}
		if got := evenSteps(dist); got != (jitter == 0) && n > 3 {
			t.Fatalf("even %v with a jitter of %g", got, jitter)
		}
		perX, perY, unitM := r.of(dist, false)
		last := n - 1
		d := dist[last]
		for i := 1; i < last; i++ {
			for _, c := range []struct{ got, want float64 }{
				{perX.of[i] / unitM, 1 / dist[i]},
				{perY.of[last-i] / unitM, 1 / (d - dist[i])},
				{perX.of[i] / perX.of[1], dist[1] / dist[i]},
				{perY.of[last-i] / perY.of[last-1], (d - dist[1]) / (d - dist[i])},
				{perX.ofRoot[i] * perY.ofRoot[last-i] / (perX.ofRoot[1] * perY.ofRoot[last-1]), math.Sqrt(dist[1] * (d - dist[1]) / (dist[i] * (d - dist[i])))},
			} {
				if !(math.Abs(c.got-c.want) <= 1e-9*c.want) {
					t.Fatalf("point %d of %d: ratio %g, want %g", i, n, c.got, c.want)
				}
			}
		}
	})
}
