package siting

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// How much surer a path is when computed alone than the bound of its sweep: over
// ridge and valley with several masts, no more than 1 path in 500 may be so, and
// the test prints how many are.
func TestSlackHolds(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	dem, o := cumberland(t), bench()
	bound := orb.Bound{Min: orb.Point{-84.30, 36.52}, Max: orb.Point{-84.20, 36.60}}
	over, all := 0, 0
	for i, heightM := range []float64{1, 4, 16, 1, 4, 16} {
		if o.Candidate.HeightM = heightM; i >= 3 {
			o.Environment.TimePercent = 99
		}
		if i == 3 {
			t.Logf("%d of %d paths are surer than the bound of their sweep; next 99 %% of time", over, all)
			if all < 10000 || over*500 > all {
				t.Errorf("%d of %d paths are surer than the bound", over, all)
			}
			over, all = 0, 0
		}
		for _, n := range o.Neighbours {
			r, err := coverage.Sweep(context.Background(), n.Station, n.At, dem, coverage.Options{RadiusM: 25000, Area: &bound,
				Receiver: o.Candidate, Environment: o.Environment})
			if err != nil {
				t.Fatal(err)
			}
			for i, c := range r.Cells {
				if c.State() != coverage.Judged || i%11 != 0 {
					continue
				}
				p, err := terrain.NewProfile(dem, r.Post(i%r.Cols, i/r.Cols), n.At, terrain.ProfileOptions{})
				if err != nil {
					t.Fatal(err)
				}
				e, err := linkbudget.Evaluate(p, o.Candidate, n.Station, o.Environment)
				if err != nil {
					t.Fatal(err)
				}
				if all++; float64(e.MarginDB/e.Doubt.SigmaDB) > suretyOf(c)+slack {
					over++
				}
			}
		}
	}
	t.Logf("%d of %d paths are surer than the bound of their sweep", over, all)
	if all < 10000 || over*500 > all {
		t.Errorf("%d of %d paths are surer than the bound", over, all)
	}
}

func TestSuretyOfACell(t *testing.T) {
	for _, c := range []struct {
		cell coverage.Cell
		want float64 // from tables of the normal distribution
	}{
		{coverage.Numbers{Probability: 0.5}.Cell(), 0},
		{coverage.Numbers{Probability: 0.9, MarginDB: 8}.Cell(), 1.2816},
		{coverage.Numbers{Probability: 0.0013499, MarginDB: -30}.Cell(), -3},
		{coverage.Numbers{Probability: 1, MarginDB: 42}.Cell(), 10}, // over 4.2 dB, the least doubt
		{coverage.Numbers{Probability: 0, MarginDB: -200}.Cell(),
			-5.7804}, // the quantile of 2^-28, by the NormalDist of Python's statistics,
	} {
		if got := suretyOf(c.cell); !(math.Abs(got-c.want) <= 0.001) {
			t.Errorf("%v: %g, want %g", c.cell, got, c.want)
		}
	}
	if got := suretyOf(coverage.Hidden.Cell()); !math.IsNaN(got) {
		t.Errorf("behind unknown ground: %g, want NaN", got)
	}
}

// The least doubt of any path, which turns a margin that is too sure for a
// float32 into a surety that is not too low.
func TestLeastDoubt(t *testing.T) {
	least := math.Hypot(float64(linkbudget.ModelDoubtDB(0)), 3)
	if !(leastDoubtDB <= least && leastDoubtDB > least-0.1) {
		t.Errorf("least doubt %g dB, method and hardware make %g", leastDoubtDB, least)
	}
}
