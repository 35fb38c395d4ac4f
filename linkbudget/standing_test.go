package linkbudget_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// stripe is a wood between two distances along the path of wooded, m, and nothing but open country
// beside it.
type stripe struct {
	fromM, toM float64
	heightM    float32
}

func (s stripe) Standing(at []orb.Point, out []terrain.Standing) error {
	for i, p := range at {
		out[i] = terrain.Standing{Class: terrain.CoverOpen}
		if d := terrain.Inverse(orb.Point{10, 0}, p).DistM; d >= s.fromM && d <= s.toM {
			out[i] = terrain.Standing{Class: terrain.CoverWood, HeightM: s.heightM}
		}
	}
	return nil
}

// stripes are several.
type stripes []stripe

func (s stripes) Standing(at []orb.Point, out []terrain.Standing) error {
	one := make([]terrain.Standing, len(at))
	for n, stripe := range s {
		if err := stripe.Standing(at, one); err != nil {
			return err
		}
		for i := range out {
			if n == 0 || one[i].Class == terrain.CoverWood {
				out[i] = one[i]
			}
		}
	}
	return nil
}

// level is ground of 100 m along the equator, with posts every second of arc.
func level() *terrain.Grid {
	g := &terrain.Grid{Lattice: terrain.Lattice{WestDeg: 9.99, NorthDeg: 0.005, StepLonDeg: 1.0 / 3600,
		StepLatDeg: 1.0 / 3600, Cols: 400, Rows: 37}}
	g.HeightM = make([]float32, g.Cols*g.Rows)
	for i := range g.HeightM {
		g.HeightM[i] = 100
	}
	return g
}

// wooded is a path of lengthM over level ground with a cover, nil for none.
func wooded(t *testing.T, lengthM float64, cover terrain.Cover) terrain.Profile {
	t.Helper()
	p, err := terrain.NewProfile(terrain.WithCover(level(), cover), orb.Point{10, 0},
		terrain.Destination(orb.Point{10, 0}, 90, lengthM), terrain.ProfileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// evaluated is a path from an antenna at 2.5 m to one at heightBM.
func evaluated(t *testing.T, p terrain.Profile, heightBM float64, bare bool) linkbudget.Result {
	t.Helper()
	env := environment()
	env.BareEarth = bare
	r, err := linkbudget.Evaluate(p, linkbudget.DefaultStation("a", 2.5), linkbudget.DefaultStation("b", heightBM), env)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func term(r linkbudget.Result, name string) float64 {
	for _, term := range r.Terms {
		if term.Name == name {
			return float64(term.DB)
		}
	}
	return 0
}

// By hand, at 915 MHz, an antenna at 2.5 m in a wood of 15 m, 5 km from one at 30 m; the earth's bulge is
// d1 d2/(2 · 8,495 km). P.833-10 §2.1 with γ 0.167 dB/m and A_m 26.0 dB: 26 (1 - exp(-d · 0.167/26)).
// P.526-15 eq (31) over the rim: ν = h sqrt(2/0.32765 (1/d1 + 1/d2)), h the top over the straight line, in
// the place of open country's 12.98 dB (P.2108-1 eq (2b), 21.8 + 6.2 log 0.915 = 21.561).
func TestWoodByHand(t *testing.T) {
	for _, row := range []struct{ depthM, through, over float64 }{
		{40, 5.89, 26.36}, {150, 16.08, 20.54}, {300, 22.21, 17.32}, {1000, 25.96, 10.50},
	} {
		const open = 12.98
		r := evaluated(t, wooded(t, 5000, stripe{-1000, row.depthM, 0}), 30, true)
		want := min(row.through, max(row.over-open, 0))
		check.Near(t, fmt.Sprintf("%g m deep", row.depthM), term(r, "wood at a"), want, 0.1)
		check.Near(t, "open country", term(r, "open country at a"), open, 0.01)
		// Turned round it costs as much.
		turned := evaluated(t, wooded(t, 5000, stripe{5000 - row.depthM, 9000, 0}), 30, true)
		swapped, err := linkbudget.Evaluate(wooded(t, 5000, stripe{5000 - row.depthM, 9000, 0}),
			linkbudget.DefaultStation("b", 30), linkbudget.DefaultStation("a", 2.5),
			func() linkbudget.Environment { e := environment(); e.BareEarth = true; return e }())
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, "turned round", float64(swapped.LossDB), float64(r.LossDB), 0.1)
		if term(turned, "wood at b") != 0 {
			t.Errorf("an antenna of 30 m over a wood of 15 m loses %v dB in it", term(turned, "wood at b"))
		}
	}
	// Both ends in one wood: its trees count once.
	r := evaluated(t, wooded(t, 400, stripe{-10, 500, 0}), 2.5, true)
	check.Near(t, "one wood around both ends", term(r, "wood at a")+term(r, "wood at b"), 24.01, 0.1)
	bare := evaluated(t, wooded(t, 400, nil), 2.5, true)
	check.Near(t, "nothing of it on the profile", float64(r.LossDB-bare.LossDB), 24.01, 0.1)
}

// An edge of a wood that moves past an antenna, metre by metre, changes no loss by more than a decibel.
func TestEdgesMakeNoJump(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	for name, at := range map[string]func(x float64) terrain.Cover{
		"wood growing from behind":      func(x float64) terrain.Cover { return stripe{-2000, x, 0} },
		"wood coming from before":       func(x float64) terrain.Cover { return stripe{-x, 600, 0} },
		"deep wood coming from before":  func(x float64) terrain.Cover { return stripe{-x, 3000, 0} },
		"tall wood coming from before":  func(x float64) terrain.Cover { return stripe{-x, 900, 30} },
		"wood growing at the far end":   func(x float64) terrain.Cover { return stripe{4000 - x, 9000, 0} },
		"wood leaving the far end":      func(x float64) terrain.Cover { return stripe{3000, 4000 + x, 0} },
		"wood between, left by one end": func(x float64) terrain.Cover { return stripe{-x, 9000, 0} },
		"growing beside a wood between": func(x float64) terrain.Cover { return stripes{{-2000, x, 0}, {2400, 2600, 25}} },
		"coming beside a wood between":  func(x float64) terrain.Cover { return stripes{{-x, 600, 0}, {2400, 2600, 25}} },
	} {
		for _, bare := range []bool{true, false} {
			for _, heightBM := range []float64{2.5, 40} {
				var last linkbudget.Result
				worst, where := 0.0, 0.0
				for x := -90.0; x <= 160; x++ {
					r := evaluated(t, wooded(t, 4000, at(x)), heightBM, bare)
					if x > -90 {
						if step := math.Abs(float64(r.LossDB - last.LossDB)); step > worst {
							worst, where = step, x
						}
					}
					last = r
				}
				t.Logf("%s, bare %v, b at %g m: at most %.2f dB a metre, at %g", name, bare, heightBM, worst, where)
				if !(worst <= 1) {
					t.Errorf("%s, bare %v, b at %g m: %.2f dB within a metre at %g", name, bare, heightBM, worst, where)
				}
			}
		}
	}
}

// A cover that says open country everywhere, or nothing, changes nothing.
func TestOpenCoverChangesNothing(t *testing.T) {
	for _, bare := range []bool{true, false} {
		with, without := evaluated(t, wooded(t, 3000, stripe{-2, -1, 0}), 5, bare), evaluated(t, wooded(t, 3000, nil), 5,
			bare)
		if diff := cmp.Diff(without, with); diff != "" {
			t.Errorf("bare %v: %s", bare, diff)
		}
	}
}

// Where the terrain may hold the wood the loss lies in the middle between with and without, and half
// of what they differ by is a doubt.
func TestCoverOnASurfaceModel(t *testing.T) {
	p := wooded(t, 5000, stripe{2000, 2600, 40})
	with, middle := evaluated(t, p, 10, true), evaluated(t, p, 10, false)
	without := evaluated(t, wooded(t, 5000, nil), 10, false)
	differ := float64(with.LossDB - without.LossDB)
	if !(differ > 5) {
		t.Fatalf("the wood costs %v dB", differ)
	}
	check.Near(t, "in the middle", float64(middle.LossDB), float64(without.LossDB)+differ/2, 1e-9)
	check.Near(t, "the term", term(middle, "cover"), differ/2, 1e-9)
	check.Near(t, "the doubt", sigmaOf(middle, "cover"), differ/2, 1e-9)
	var sum linkbudget.DB
	for _, term := range middle.Terms {
		sum += term.DB
	}
	check.Near(t, "the terms add up", float64(sum), float64(middle.LossDB), 1e-9)
}

// Where nobody knows whether the terrain holds a wood already, the loss lies half way and what lies between is a doubt;
// but a wood makes no path that hardly closes over bare ground more likely to.
func TestUnclearWoodGivesNoChance(t *testing.T) {
	g := level()
	for i := range g.HeightM {
		if col := i % g.Cols; col > 200 && col < 203 {
			g.HeightM[i] += 60
		}
	}
	a, b := linkbudget.DefaultStation("a", 2.5), linkbudget.DefaultStation("b", 2.5)
	a.Surroundings.Inside, b.Surroundings.Inside = clutter.Free, clutter.Free
	small := 0
	for txDBm := linkbudget.DBm(-30); txDBm < 15; txDBm++ {
		a.TxDBm, b.TxDBm = txDBm, txDBm
		var chance [2]float64
		for i, cover := range []terrain.Cover{stripe{0, -1, 0}, stripe{60, 4000, 25}} {
			p, err := terrain.NewProfile(terrain.WithCover(g, cover), orb.Point{10, 0},
				terrain.Destination(orb.Point{10, 0}, 90, 9000), terrain.ProfileOptions{})
			if err != nil {
				t.Fatal(err)
			}
			r, err := linkbudget.Evaluate(p, a, b, environment())
			if err != nil {
				t.Fatal(err)
			}
			chance[i] = r.Probability
			if gauss := radio.Phi(float64(r.MarginDB / r.Doubt.SigmaDB)); gauss > chance[0] && i == 1 {
				small++
			}
		}
		if chance[1] > chance[0]*(1+1e-9) {
			t.Errorf("%g dBm: %.3g over a wood, %.3g without, %.3g", txDBm, chance[1], chance[0], chance[1]/chance[0])
		}
	}
	if small == 0 {
		t.Error("no path on which the doubt alone would have made it more")
	}
}

// One class for the whole path is the special case of a profile of which nothing is known.
func TestCoverOfTheWholePath(t *testing.T) {
	env := environment()
	env.BareEarth, env.Cover = true, clutter.Wood
	p := wooded(t, 4000, nil)
	want, err := linkbudget.Evaluate(p, linkbudget.DefaultStation("a", 20), linkbudget.DefaultStation("b", 20), env)
	if err != nil {
		t.Fatal(err)
	}
	p.Standing = make([]terrain.Standing, len(p.DistM))
	got, err := linkbudget.Evaluate(p, linkbudget.DefaultStation("a", 20), linkbudget.DefaultStation("b", 20), env)
	if err != nil || got.LossDB != want.LossDB {
		t.Errorf("%v dB, %v; want %v", got.LossDB, err, want.LossDB)
	}
	if len(got.Warnings) != 1 {
		t.Errorf("warnings %q, want that nothing is known", got.Warnings)
	}
}

// Houses around an antenna by the cover cost what they cost by the plan, and the plan goes first.
func TestEndsTakeTheirClass(t *testing.T) {
	p := wooded(t, 4000, nil)
	p.Standing = make([]terrain.Standing, len(p.DistM))
	for i := range p.Standing {
		p.Standing[i].Class = terrain.CoverOpen
	}
	p.Standing[0] = terrain.Standing{Class: terrain.CoverUrban, HeightM: 12}
	env := environment()
	env.BareEarth = true
	a, b := linkbudget.DefaultStation("a", 2), linkbudget.DefaultStation("b", 20)
	byCover, err := linkbudget.Evaluate(p, a, b, env)
	if err != nil {
		t.Fatal(err)
	}
	a.Surroundings = linkbudget.Surroundings{Inside: clutter.Urban, TopM: 12}
	byPlan, err := linkbudget.Evaluate(p, a, b, env)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(byPlan, byCover); diff != "" {
		t.Error(diff)
	}
	a.Surroundings = linkbudget.Surroundings{Inside: clutter.Free}
	if free, err := linkbudget.Evaluate(p, a, b, env); err != nil || term(free, "urban at a") != 0 {
		t.Errorf("the plan says free: %v, %v", free.Terms, err)
	}
}
