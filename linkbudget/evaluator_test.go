package linkbudget_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// One Evaluator and one Result for many paths give what Evaluate gives for each,
// whatever came before: in sight, blocked, short, unknown, refused.
func TestEvaluatorAgain(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 25))
	env := environment()
	e, err := linkbudget.NewEvaluator(env)
	if err != nil {
		t.Fatal(err)
	}
	verdicts := map[linkbudget.Verdict]int{}
	var r linkbudget.Result
	for range 500 {
		n := 2 + rng.IntN(200)
		high, phase := 120*rng.Float64(), 9*rng.Float64()
		p := profile(500+30e3*rng.Float64(), n, func(x float64) float64 { return 100 + high*math.Sin(9*x+phase) + 3*rng.Float64() })
		if rng.IntN(10) == 0 {
			p.Flags = make([]terrain.Flag, n)
			p.Flags[n/2] = terrain.Void
		}
		a, b := linkbudget.DefaultStation("a", 1+40*rng.Float64()), linkbudget.DefaultStation("b", 1+40*rng.Float64())
		if rng.IntN(2) == 0 {
			a.FeedLossDB, a.NoiseRiseDB, a.ExternalNoiseDB, a.SideMounted = 1, 3, 4, true
			b.VSWR, b.Surroundings.Inside = 1.5, linkbudget.ClutterSuburban
		}
		if rng.IntN(20) == 0 {
			b.HeightM = -1
		}
		want, wantErr := linkbudget.Evaluate(p, a, b, env)
		err := e.Evaluate(&r, &p, &a, &b)
		if diff := cmp.Diff(want, r, cmpopts.EquateEmpty()); diff != "" || (err == nil) != (wantErr == nil) {
			t.Fatalf("%v, again %v; %s", wantErr, err, diff)
		}
		verdicts[r.Verdict]++
		if err != nil || r.Verdict == linkbudget.Unknown {
			continue
		}
		share, err := e.Delivery(&r)
		if wantShare, wantErr := want.Delivery(env); err != nil || wantErr != nil || share != wantShare {
			t.Fatalf("delivery %v, %v; of the Result %v, %v", share, err, wantShare, wantErr)
		}
	}
	for _, v := range []linkbudget.Verdict{linkbudget.Reaches, linkbudget.Short, linkbudget.Unknown, 0} {
		if verdicts[v] == 0 {
			t.Errorf("no path with verdict %q", v)
		}
	}
}

func TestEvaluatorRefusesItsEnvironment(t *testing.T) {
	env := environment()
	env.K, env.FreqHz = 20, 1
	_, err := linkbudget.NewEvaluator(env)
	if err == nil || !strings.Contains(err.Error(), "k:") || !strings.Contains(err.Error(), "freq_mhz:") {
		t.Errorf("error %v, must tell both faults", err)
	}
}

// Of a kept Result only what is behind a pointer is new: the reflection, the
// single edge, the obstacles, and the names of the lines of both ends.
func TestEvaluatorAllocations(t *testing.T) {
	e, err := linkbudget.NewEvaluator(environment())
	if err != nil {
		t.Fatal(err)
	}
	p := profile(12e3, 167, func(x float64) float64 { return 100 + 300*math.Exp(-math.Pow((x-0.5)/0.1, 2)) })
	a, b := linkbudget.DefaultStation("a", 8), linkbudget.DefaultStation("b", 6)
	var r linkbudget.Result
	evaluate := func() {
		if err := e.Evaluate(&r, &p, &a, &b); err != nil {
			t.Fatal(err)
		}
	}
	evaluate()
	if got := testing.AllocsPerRun(50, evaluate); got > 6 {
		t.Errorf("%g allocations", got)
	}
}
