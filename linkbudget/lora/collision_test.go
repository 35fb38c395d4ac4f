package lora

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

// Rules of thumb (computed, printed in whole per cent but the first two).
func TestCollisionProbability(t *testing.T) {
	for used, row := range map[float64]struct{ want, tol float64 }{0.025: {4.9, 0.051}, 0.05: {9.5, 0.051},
		0.10: {18, 0.51}, 0.18: {30, 0.51}, 0.25: {39, 0.51}, 0.5: {63, 0.51}} {
		got, err := CollisionProbability(used, 1)
		if err != nil {
			t.Error(err)
		}
		check.Near(t, fmt.Sprintf("utilisation %v", used), 100*got, row.want, row.tol)
	}
}

// Losing is the complement of ALOHA's success, exp(-2 U h).
func TestCollisionIsALOHA(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		used, hidden := rapid.Float64Range(0, 10).Draw(t, "utilisation"), rapid.Float64Range(0, 1).Draw(t, "hidden")
		lost, err := CollisionProbability(used, hidden)
		if err != nil || !(math.Abs(lost+math.Exp(-2*used*hidden)-1) <= 1e-12) {
			t.Fatalf("lost %v, %v", lost, err)
		}
	})
	if _, err := CollisionProbability(-1, 2); err == nil || !strings.Contains(err.Error(), "hidden share: found 2") {
		t.Errorf("%v", err)
	}
}
