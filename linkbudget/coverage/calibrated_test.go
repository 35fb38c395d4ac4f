package coverage_test

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
)

// With a calibration too a coverage tells what a link tells: of an area, of a pole whose
// sending and hearing were heard, with doubts larger and smaller than stated.
func TestCalibratedChanceIsThatOfTheLink(t *testing.T) {
	defer func(was linkbudget.Environment) { env = was }(env)
	at, without := orb.Point{-84.2405, 36.5565}, 0.0
	for _, spread := range []float64{0, 0.6, 1, 1.5} {
		c := &linkbudget.Calibration{AreaDB: -4, AreaSigmaDB: 1.5, Spread: spread, SeasonDB: 2.5,
			Nodes: []linkbudget.CalibratedNode{{Name: "pole", LonDeg: at[0], LatDeg: at[1], SendDB: 2, ReceiveDB: -3,
				SendEarned: 4, ReceiveEarned: 3}}}
		if spread == 0 { // without one, to compare with
			c = nil
		} else if err := c.Prepare(); err != nil {
			t.Fatal(err)
		}
		env.Calibration = c
		s := scene{dem: nil, at: at, radiusM: 15e3, pole: linkbudget.DefaultStation("pole", 8),
			receiver: linkbudget.DefaultStation("receiver", 2)}
		dem := cumberland(t)
		r, err := coverage.Sweep(context.Background(), s.pole, at, dem, coverage.Options{RadiusM: s.radiusM,
			Receiver: s.receiver, Environment: env})
		if err != nil {
			t.Fatal(err)
		}
		all := s.compare(t, dem, r, 400, 0)
		chance := quantile(all, 0.95, func(c compared) float64 { return math.Abs(c.chance) })
		margin := quantile(all, 0.95, func(c compared) float64 { return math.Abs(c.marginDB) })
		t.Logf("stated doubts times %g: %d cells, 95 %% within %.4f of the chance and %.2f dB of the margin", spread, len(all),
			chance, margin)
		if spread == 0 {
			without = margin
		}
		if !(chance <= 0.03) || !(margin <= without+0.01) || len(all) < 300 {
			t.Errorf("allowed 0.03, and %.2f dB as without a calibration", without)
		}
	}
}
