package antenna

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

// -10 log(1 - rho^2), computed.
func TestMismatchLoss(t *testing.T) {
	for vswr, want := range map[float64]float64{1: 0, 1.2: 0.036, 1.5: 0.177, 2: 0.512, 3: 1.249} {
		got, err := MismatchLoss(vswr)
		if err != nil {
			t.Error(err)
		}
		check.Near(t, fmt.Sprintf("VSWR %v", vswr), float64(got), want, 0.0005)
	}
	for _, vswr := range []float64{0.99, 0, -2, 1001, math.NaN(), math.Inf(1)} {
		if got, err := MismatchLoss(vswr); err == nil {
			t.Errorf("VSWR %v passed: %v", vswr, got)
		}
	}
	// The same through 4s/(s+1)^2.
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.Float64Range(1, 1000).Draw(t, "vswr")
		got, err := MismatchLoss(s)
		if want := -10 * math.Log10(4*s/((s+1)*(s+1))); err != nil || !(math.Abs(float64(got)-want) <= 1e-9) {
			t.Fatalf("VSWR %v: %v, %v, want %v", s, got, err, want)
		}
	})
}
