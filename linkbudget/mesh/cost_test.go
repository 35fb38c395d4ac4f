package mesh_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// 100 000 poles are refused before any height is read, with a clear word. The
// estimate is held against n²/2 times the share of the area within the range,
// less what the edges cut off (up to a tenth here).
func TestHundredThousandPoles(t *testing.T) {
	p := region(100_000, orb.Bound{Min: orb.Point{9, 49}, Max: orb.Point{11, 51}})
	var asked atomic.Int64
	m, err := mesh.Check(context.Background(), p, rolling{&asked}, regionOptions(10e3))
	var cost *mesh.CostError
	if m != nil || !errors.As(err, &cost) || asked.Load() != 0 {
		t.Fatalf("%v, %d heights asked for", err, asked.Load())
	}
	areaM2 := terrain.Inverse(orb.Point{9, 50}, orb.Point{11, 50}).DistM * terrain.Inverse(orb.Point{9, 49},
		orb.Point{9, 51}).DistM
	want := 1e10 / 2 * math.Pi * 10e3 * 10e3 / areaM2
	if got := float64(cost.Pairs); cost.Exact || !(got >= 0.85*want && got <= 1.05*want) {
		t.Errorf("about %g pairs, want near %g", got, want)
	}
	// The mean distance in a disc's worth of pairs is two thirds of the range.
	stepM := terrain.Inverse(orb.Point{10, 50}, orb.Point{10.001, 50}).DistM
	if got, want := cost.ProfilePoints/float64(cost.Pairs), 10e3*2/3/stepM+1.5; !(math.Abs(got-want) <= 0.05*want) {
		t.Errorf("%g points per pair, want near %g", got, want)
	}
	for _, part := range []string{"100000 stations", "million pairs within 10 km", "of one core", "allowed",
		"choose a shorter range"} {
		if !strings.Contains(err.Error(), part) {
			t.Errorf("%q is not in: %v", part, err)
		}
	}
	t.Log(err)
	// In a short range they are counted exactly, and allowed.
	exact, err := estimate(p, rolling{}, regionOptions(500))
	if want := 1e10 / 2 * math.Pi * 500 * 500 / areaM2; err != nil || !exact.Exact ||
		!(math.Abs(float64(exact.Pairs)-want) <= 0.03*want) {
		t.Errorf("%+v, %v, want near %g pairs", exact, err, want)
	}
}

// Poles all in one place, or all far out of reach of each other, take no
// quadratic time either: comparisons are bounded.
func TestCrowdsAreRefused(t *testing.T) {
	if testing.Short() {
		t.Skip("counts hundreds of millions of pairs")
	}
	crowd := region(30_000, orb.Bound{Min: orb.Point{10, 50}, Max: orb.Point{10.01, 50.01}})
	for name, opt := range map[string]mesh.Options{"loud": regionOptions(50e3), "quiet": quiet()} {
		cost, err := estimate(crowd, rolling{}, opt)
		var refused *mesh.CostError
		if !errors.As(err, &refused) {
			t.Errorf("%s: %+v, %v, want it refused", name, cost, err)
			continue
		}
		all := int64(30_000) * 29_999 / 2
		if sum := cost.Pairs + cost.Hopeless; sum < all*99/100 || sum > all*101/100 {
			t.Errorf("%s: %d pairs and %d hopeless, want about %d in all", name, cost.Pairs, cost.Hopeless, all)
		}
		t.Logf("%s: %v", name, err)
	}
	// On one spot there is no pair at all, and comparing is what is refused: a chord each.
	for i := range crowd.Stations {
		crowd.Stations[i].At = orb.Point{10, 50}
	}
	var refused *mesh.CostError
	_, err := estimate(crowd, rolling{}, regionOptions(50e3))
	if !errors.As(err, &refused) || refused.Pairs != 0 || refused.Compared != 30_000*30_000/2 ||
		!strings.Contains(err.Error(), "found by about 450 million comparisons") {
		t.Errorf("on one spot: %+v, %v, want it refused for its comparisons", refused, err)
	}
}

// quiet poles reach some metres: 1e-3 of the power for each, in much noise.
func quiet() mesh.Options {
	opt := regionOptions(50e3)
	opt.Settings.Station.TxDBm, opt.Settings.Station.FeedLossDB, opt.Settings.Station.NoiseRiseDB = -30, 25, 30
	return opt
}

// Hopeless pairs cost nothing: no profile of them is read.
func TestHopelessPairs(t *testing.T) {
	var asked atomic.Int64
	m, err := mesh.Check(context.Background(), hills(300, 0), rolling{&asked}, quiet())
	if err != nil {
		t.Fatal(err)
	}
	all := int64(300 * 299 / 2) // the range covers the ground
	if len(m.Pairs) > 5 || m.Cost.Pairs+m.Cost.Hopeless != all || asked.Load() > int64(2+len(m.Pairs)) {
		t.Errorf("%d pairs examined, %d hopeless of %d, %d calls for heights", len(m.Pairs), m.Cost.Hopeless, all,
			asked.Load())
	}
	if len(m.Alone) < 290 || m.Verdict == linkbudget.Reaches {
		t.Errorf("%d poles alone, verdict %s", len(m.Alone), m.Verdict)
	}
}

// A wanted link that cannot close is one of the pairs examined, not one of those left out.
func TestHopelessLinksAreCountedOnce(t *testing.T) {
	p := hills(300, 0)
	p.Links = []plan.Link{wanted(p.Stations[7].Name, p.Stations[200].Name, false),
		wanted(p.Stations[90].Name, p.Stations[3].Name, true)}
	opt := quiet()
	cost, err := estimate(p, rolling{}, opt)
	if all := int64(300 * 299 / 2); err != nil || cost.Pairs < 2 || cost.Pairs+cost.Hopeless != all {
		t.Errorf("%d pairs and %d hopeless, want %d in all; %v", cost.Pairs, cost.Hopeless, all, err)
	}
}

func TestBoundsCanBeRaised(t *testing.T) {
	p, opt := hills(60, 0), regionOptions(8e3)
	opt.MaxPairs = 100
	var cost *mesh.CostError
	if _, err := mesh.Check(context.Background(), p, rolling{}, opt); !errors.As(err, &cost) {
		t.Fatalf("%v, want it refused for its pairs", err)
	}
	opt.MaxPairs, opt.MaxPoints = 0, 1000
	if _, err := mesh.Check(context.Background(), p, rolling{}, opt); !errors.As(err, &cost) || !cost.Exact {
		t.Fatalf("%v, want it refused for its points", err)
	}
	opt.MaxPoints = cost.ProfilePoints
	m, err := mesh.Check(context.Background(), p, rolling{}, opt)
	if err != nil || int64(len(m.Pairs)) != cost.Pairs {
		t.Errorf("%v, want %d pairs", err, cost.Pairs)
	}
	opt.MaxPairs, opt.Shard, opt.Shards = len(m.Pairs)/4+1, 1, 4 // the bound is for one shard
	if _, err := checkPart(p, rolling{}, opt); err != nil {
		t.Error(err)
	}
}

// estimate is what a check takes, told before any height is read.
func estimate(p *plan.Plan, dem terrain.DEM, opt mesh.Options) (mesh.Cost, error) {
	run, err := mesh.Prepare(context.Background(), p, dem, opt)
	if run == nil {
		return mesh.Cost{}, err
	}
	return run.Cost(), err
}
