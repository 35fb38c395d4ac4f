package linkbudget_test

import (
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/internal/check"
)

// The standard deviations of the method (engineering judgement): a clear path 3 dB,
// behind an obstacle 6 to 8, deep in the shadow 8 to 10, and low over flat ground what
// the same loss has behind an obstacle; hardware 3 dB everywhere, the difference in the
// mean between open measurements (conducted 8 to 10 dB low, towns 4).
func TestDoubtOfTheModelBySituation(t *testing.T) {
	ridge := func(heightM float64) func(x float64) float64 {
		return func(x float64) float64 { return 100 + heightM*math.Exp(-math.Pow((x-0.5)/0.02, 2)) }
	}
	level := func(float64) float64 { return 100 }
	for _, c := range []struct {
		situation        linkbudget.Situation
		lengthM, heightM float64
		ground           func(x float64) float64
		low, high        float64
	}{
		{linkbudget.SituationClear, 1e3, 30, level, 3, 3.3},
		{linkbudget.SituationLow, 5e3, 2, level, 7, 8},
		{linkbudget.SituationObstructed, 10e3, 20, ridge(30), 6, 8},
		{linkbudget.SituationDeep, 10e3, 10, ridge(300), 8, 10},
	} {
		s := linkbudget.DefaultStation("s", c.heightM)
		r, err := linkbudget.Evaluate(profile(c.lengthM, 201, c.ground), s, s, environment())
		if err != nil {
			t.Fatal(err)
		}
		if r.Situation != c.situation {
			t.Errorf("%s: the path counts as %s, diffraction %.1f dB", c.situation, r.Situation, r.Diffraction.LossDB)
		}
		if sigma := sigmaOf(r, "model"); !(sigma >= c.low && sigma <= c.high) {
			t.Errorf("%s: model doubt %.2f dB, the reference says %g to %g", c.situation, sigma, c.low, c.high)
		}
		if sigma := sigmaOf(r, "hardware"); sigma != 3 {
			t.Errorf("%s: hardware doubt %g dB, want 3", c.situation, sigma)
		}
	}
}

// An end adds 6 dB of doubt, which brings a clear path between two low ends to 9 dB
// (8 to 9 dB were measured); where somebody looked it adds none. An antenna over the
// tops leaves it behind as the location variability of
// ITU-R P.1812-6 section 4.8 does: u_h = 1 - (h - R)/10, 0 from R + 10 m on.
// Suburban R is 10 m (P.2108-1 section 3.1).
func TestDoubtOfClutterEndsOverTheTops(t *testing.T) {
	for _, c := range []struct {
		heightM, topM, woodM, want float64
		inside                     clutter.Class
	}{
		{4, 0, 0, 6, clutter.Suburban}, {10, 0, 0, 6, clutter.Suburban}, {15, 0, 0, 3, clutter.Suburban},
		{20, 0, 0, 0, clutter.Suburban}, {60, 0, 0, 0, clutter.Suburban},
		{20, 25, 0, 6, clutter.Suburban}, {30, 25, 0, 3, clutter.Suburban},
		{4, 0, 0, 6, clutter.Open}, {4, 0, 0, 6, clutter.Unstated}, {14, 0, 0, 3.6, clutter.Unstated},
		{4, 0, 0, 0, clutter.Free}, {60, 0, 40, 6, clutter.Unstated},
	} {
		a, b := linkbudget.DefaultStation("a", c.heightM), linkbudget.DefaultStation("b", 20)
		a.Surroundings = linkbudget.Surroundings{Inside: c.inside, TopM: c.topM, WoodM: c.woodM}
		r, err := linkbudget.Evaluate(profile(3e3, 101, func(float64) float64 { return 100 }), a, b, environment())
		if err != nil {
			t.Fatal(err)
		}
		if got := sigmaOf(r, "surroundings of a"); !(math.Abs(got-c.want) <= 1e-9) {
			t.Errorf("%g m inside %s, top %g m: clutter doubt %.3f dB, want %g", c.heightM, c.inside, c.topM, got, c.want)
		}
	}
}

// Ripple counts over smooth open ground that both ends see, with the figures of
// propagation.md section 4.5 (computed there): rho 0.9 gives 6.43 dB, 0.95 7.02.
// Trees at an end, or rough ground, leave none.
func TestDoubtOfRippleNeedsOpenSmoothGround(t *testing.T) {
	smooth := profile(1e3, 101, func(float64) float64 { return 100 })
	i := 0
	rough := profile(1e3, 101, func(float64) float64 { i++; return 100 + 8*math.Sin(float64(i)*2.1) })
	a, b := linkbudget.DefaultStation("a", 30), linkbudget.DefaultStation("b", 30)
	r, err := linkbudget.Evaluate(smooth, a, b, environment())
	if err != nil {
		t.Fatal(err)
	}
	got := sigmaOf(r, "ripple")
	table := [][2]float64{{0.1, 0.62}, {0.2, 1.24}, {0.3, 1.86}, {0.5, 3.18}, {0.7, 4.63}, {0.8, 5.46}, {0.9, 6.43},
		{0.95, 7.02}, {1, 7.88}}
	rho := r.Reflection.Rho
	for j := 1; j < len(table); j++ {
		if lo, hi := table[j-1], table[j]; rho >= lo[0] && rho < hi[0] && !(got >= lo[1]-0.01 && got <= hi[1]+0.01) {
			t.Errorf("rho %.3f: ripple %.2f dB, the table says %g to %g", rho, got, lo[1], hi[1])
		}
	}
	if got == 0 {
		t.Errorf("no ripple over smooth ground, rho %.2f", rho)
	}
	wooded := a
	wooded.Surroundings.WoodM = 20
	for name, result := range map[string]func() (linkbudget.Result, error){
		"wood":  func() (linkbudget.Result, error) { return linkbudget.Evaluate(smooth, wooded, b, environment()) },
		"rough": func() (linkbudget.Result, error) { return linkbudget.Evaluate(rough, a, b, environment()) },
	} {
		r, err := result()
		if err != nil {
			t.Fatal(err)
		}
		if got := sigmaOf(r, "ripple"); got != 0 {
			t.Errorf("%s: ripple %.2f dB, want none", name, got)
		}
	}
}

// Of two ends that differ in nothing the doubt is the same both ways, its
// squares add up, and its largest item is the one named as leading.
func TestDoubtAddsUpAndNamesItsLeader(t *testing.T) {
	a, b := linkbudget.DefaultStation("a", 12), linkbudget.DefaultStation("b", 12)
	a.SideMounted = true
	r, err := linkbudget.Evaluate(profile(8e3, 101, func(x float64) float64 { return 100 + 40*math.Sin(9*x) }), a, b,
		environment())
	if err != nil {
		t.Fatal(err)
	}
	var squares, most float64
	var leader string
	for _, item := range r.Doubt.Items {
		squares += float64(item.DB * item.DB)
		if float64(item.DB) > most {
			most, leader = float64(item.DB), item.Name
		}
	}
	check.Near(t, "doubt", r.Doubt.SigmaDB, linkbudget.DB(math.Sqrt(squares)), 1e-9)
	if got := r.Doubt.Leading(); got.Name != leader {
		t.Errorf("leading item %q, largest %q", got.Name, leader)
	}
	if got := sigmaOf(r, "beside its mast at a"); got != 2 { // propagation.md section 10
		t.Errorf("side mount doubt %g dB, want 3", got)
	}
}
