package siting

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// No place may have more sun than a glance leaves possible: 150 places all over the mountains,
// panels low and high, the highest ground known from their middle.
func TestGlance(t *testing.T) {
	if testing.Short() {
		t.Skip("the sky of 150 places")
	}
	dem, worst, over := cumberland(t), math.Inf(-1), 0.0
	const n = 150
	round, err := clearSky().lookedRound(context.Background(), dem, orb.Point{-84.24, 36.59}, 18e3)
	if err != nil || round.highestM < 900 {
		t.Fatalf("highest ground round about: %g m, %v", round.highestM, err)
	}
	for i := range n {
		at := orb.Point{-84.38 + 0.28*math.Mod(float64(i)*0.618034, 1), 36.47 + 0.24*math.Mod(float64(i)*0.414214, 1)}
		heightM := []float64{1, 6, 20}[i%3]
		exact, err := clearSky().look(context.Background(), dem, at, heightM, share, nil)
		if err != nil {
			t.Fatal(err)
		}
		seen, err := round.look(context.Background(), dem, at, heightM, glance, nil)
		if err != nil {
			t.Fatal(err)
		}
		d := exact.Share() - seen.Share()
		worst, over = max(worst, d), over-d/n
		if !(d <= glanceSlack) {
			t.Errorf("%v, %g m up: %.4f of the sun, at a glance %.4f", at, heightM, exact.Share(), seen.Share())
		}
	}
	t.Logf("worst: %.4f more than at a glance; on average a glance finds %.4f too much", worst, over)
	if !(over < 0.005) {
		t.Errorf("a glance finds %.4f too much: it would leave everything open", over)
	}
}
