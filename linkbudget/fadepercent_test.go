package linkbudget

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestFadePercent(t *testing.T) {
	// By the text: with p_0 = 1 % the curves part at A_t = 25 dB.
	near(t, "deep", FadePercent(1, 30), 0.001, 1e-12)
	near(t, "at A_t", FadePercent(1, 25-1e-9), DeepFadePercent(1, 25), 1e-9)
	// 1 - 1/e of the time at 0 dB, the exponential law of the text.
	near(t, "at 0 dB", FadePercent(1, 0), 100*(1-1/math.E), 1e-9)
	near(t, "a gain", FadePercent(1, -3), 100*(1-1/math.E), 1e-9)
	near(t, "all the time", DeepFadePercent(1e3, 3), 100, 0)
	for _, occurrence := range []float64{0, -1, math.NaN()} {
		near(t, "no fading", FadePercent(occurrence, 10)+DeepFadePercent(occurrence, 10), 0, 0)
	}
	nan := DB(math.NaN())
	near(t, "no number", FadePercent(1, nan)+DeepFadePercent(1, nan), 0, 0)
	rapid.Check(t, func(t *rapid.T) {
		p0 := math.Pow(10, rapid.Float64Range(-12, 3).Draw(t, "log p0"))
		fade := DB(rapid.Float64Range(0, 60).Draw(t, "fade"))
		p, deeper := FadePercent(p0, fade), FadePercent(p0, fade+0.5)
		if !(p >= 0 && p <= 100 && deeper <= p) {
			t.Fatalf("p0 %v: %v %% at %v dB, %v %% at half a decibel more", p0, p, fade, deeper)
		}
		// The curve meets the deep one where the text says.
		if at := DB(25 + 1.2*math.Log10(p0)); p0 >= 1e-8 {
			below, deep := FadePercent(p0, at-1e-7), DeepFadePercent(p0, at)
			if !(math.Abs(below-deep) <= 1e-6*deep) {
				t.Fatalf("p0 %v at %v dB: %v and %v %%", p0, at, below, deep)
			}
		}
	})
}
