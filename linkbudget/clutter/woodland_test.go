package clutter

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

func TestWoodland(t *testing.T) {
	// 6i: row of ITU-R P.833 published, values computed from it. 6j: the limit.
	for _, row := range []struct{ depthM, want, tol float64 }{
		{10, 1.65, 0.005}, {50, 7.27, 0.005}, {100, 12.55, 0.005}, {500, 25.43, 0.005},
		{0, 0, 0}, {100e3, 26.5, 1e-9},
	} {
		got, err := Woodland{row.depthM, 949e6}.Loss()
		if err != nil {
			t.Error(err)
		}
		check.Near(t, fmt.Sprintf("6i, 6j %v m", row.depthM), float64(got), row.want, row.tol)
	}
	// The printed set, ITU-R P.833-10 §2.1, must come back at its frequencies.
	for _, row := range []struct{ freqHz, gamma, most float64 }{
		{105.9e6, 0.04, 9.4}, {466.475e6, 0.12, 18.0}, {949.0e6, 0.17, 26.5}, {1852.2e6, 0.30, 29.0}, {2117.5e6, 0.34, 34.1},
	} {
		gamma, most := Woodland{FreqHz: row.freqHz}.coefficients()
		check.Near(t, fmt.Sprintf("gamma at %v Hz", row.freqHz), gamma, row.gamma, 1e-12)
		check.Near(t, fmt.Sprintf("A_m at %v Hz", row.freqHz), most, row.most, 1e-12)
	}
	// Between them, computed apart from this program; the text's figure 2 has
	// about 0.18 dB/m at 868 MHz.
	gamma, most := Woodland{FreqHz: 868e6}.coefficients()
	check.Near(t, "gamma at 868 MHz", gamma, 0.163, 0.0005)
	check.Near(t, "A_m at 868 MHz", most, 25.2, 0.05)
	check.Near(t, "figure 2", gamma, 0.18, 0.02)
	gamma, most = Woodland{FreqHz: 915e6}.coefficients()
	check.Near(t, "gamma at 915 MHz", gamma, 0.167, 0.0005)
	check.Near(t, "A_m at 915 MHz", most, 26.0, 0.05)
}

// Weissberger and the early ITU-R form, from memory, total loss of a way through
// leaves: other authors' fits, for cross-checks only.
func weissberger(depthM, freqGHz float64) float64 {
	if depthM < 14 {
		return 0.45 * math.Pow(freqGHz, 0.284) * depthM
	}
	return 1.33 * math.Pow(freqGHz, 0.284) * math.Pow(depthM, 0.588)
}

func earlyITU(depthM, freqMHz float64) float64 {
	return 0.2 * math.Pow(freqMHz, 0.3) * math.Pow(depthM, 0.6)
}

func TestWoodlandAgainstOtherFits(t *testing.T) {
	// 6k, computed.
	check.Near(t, "6k Weissberger", weissberger(50, 0.868), 12.7, 0.1)
	check.Near(t, "6k early ITU", earlyITU(50, 868), 15.9, 0.1)
	// All agree on the order of magnitude, with P.833 below the other two.
	for _, depthM := range []float64{20, 50, 100, 200} {
		got, err := Woodland{depthM, 868e6}.Loss()
		if err != nil {
			t.Error(err)
		}
		if low, high := weissberger(depthM, 0.868), earlyITU(depthM, 868); !(float64(got) > 0.3*low && float64(got) < high) {
			t.Errorf("%v m: %v dB, others %v and %v dB", depthM, got, low, high)
		}
	}
	// The park wood of P.833 (from memory), A_m 29.2 dB, lies within 4 dB.
	_, most := Woodland{FreqHz: 868e6}.coefficients()
	check.Near(t, "A_m of a park wood", most, 0.18*math.Pow(868, 0.752), 4)
}

func TestWoodlandShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Woodland{
			DepthM: rapid.Float64Range(0, 5000).Draw(t, "depthM"),
			FreqHz: rapid.Float64Range(105.9e6, 2.05e9).Draw(t, "freqHz"),
		}
		inside, err := w.Loss()
		if err != nil {
			t.Fatal(err)
		}
		gamma, most := w.coefficients()
		// Never a gain, never above the cap nor above the straight line.
		if !(inside >= 0 && float64(inside) <= most && float64(inside) <= gamma*w.DepthM+1e-9) {
			t.Fatalf("%+v: inside %v, most %v", w, inside, most)
		}
		deeper, faster := w, w
		deeper.DepthM += 10
		faster.FreqHz *= 1.03
		if d, _ := deeper.Loss(); !(d >= inside) {
			t.Fatalf("%+v: %v dB, deeper %v dB", w, inside, d)
		}
		if f, _ := faster.Loss(); !(f >= inside) {
			t.Fatalf("%+v: %v dB, at more hertz %v dB", w, inside, f)
		}
	})
}

func TestWoodlandBadValues(t *testing.T) {
	for _, w := range []Woodland{{-1, 868e6}, {math.NaN(), 868e6}, {math.Inf(1), 868e6}, {10, 100e6}, {10, 2.4e9},
		{10, math.NaN()}} {
		if got, err := w.Loss(); err == nil {
			t.Errorf("%+v: %v dB", w, got)
		}
	}
	if err := (Woodland{-1, 1}).Validate(); err == nil || !strings.Contains(err.Error(), "depth: found -1") ||
		!strings.Contains(err.Error(), "frequency: found 1e-06") {
		t.Errorf("%v", err)
	}
}
