package linkbudget_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

func environment() linkbudget.Environment {
	return linkbudget.Environment{FreqHz: 915e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}
}

// profile is n points, equally spaced, with the height h(x) at x of 0 to 1.
func profile(lengthM float64, n int, h func(x float64) float64) terrain.Profile {
	var p terrain.Profile
	for i := range n {
		x := float64(i) / float64(n-1)
		p.DistM = append(p.DistM, lengthM*x)
		p.HeightM = append(p.HeightM, h(x))
	}
	return p
}

func reversed(p terrain.Profile) terrain.Profile {
	var out terrain.Profile
	for i := len(p.DistM) - 1; i >= 0; i-- {
		out.DistM = append(out.DistM, p.LengthM()-p.DistM[i])
		out.HeightM = append(out.HeightM, p.HeightM[i])
	}
	return out
}

func randomProfile(t *rapid.T) terrain.Profile {
	n := rapid.IntRange(2, 200).Draw(t, "points")
	lengthM := rapid.Float64Range(50, 120e3).Draw(t, "length")
	rough := rapid.Float64Range(0, 600).Draw(t, "rough")
	heights := rapid.SliceOfN(rapid.Float64Range(0, 1), n, n).Draw(t, "heights")
	i := -1
	return profile(lengthM, n, func(float64) float64 { i++; return 200 + rough*heights[i] })
}

func randomStation(t *rapid.T, name string) linkbudget.Station {
	s := linkbudget.DefaultStation(name, rapid.Float64Range(0.2, 60).Draw(t, "height "+name))
	s.TxDBm = linkbudget.DBm(rapid.Float64Range(-10, 30).Draw(t, "tx "+name))
	s.Antenna.PeakDBi = linkbudget.DB(rapid.Float64Range(-3, 12).Draw(t, "gain "+name))
	s.Antenna.TiltDeg = rapid.Float64Range(-10, 10).Draw(t, "tilt "+name)
	s.VSWR = rapid.Float64Range(1, 3).Draw(t, "vswr "+name)
	s.SideMounted = rapid.Bool().Draw(t, "side "+name)
	s.Polarisation = radio.Polarisation(rapid.IntRange(0, 1).Draw(t, "polarisation "+name))
	s.ExternalNoiseDB = linkbudget.DB(rapid.Float64Range(0, 12).Draw(t, "noise "+name))
	s.Surroundings.Inside = clutter.Class(rapid.IntRange(0, 5).Draw(t, "inside "+name))
	s.FeedLossDB = linkbudget.DB(rapid.Float64Range(0, 6).Draw(t, "feed "+name))
	s.NoiseRiseDB = linkbudget.DB(rapid.Float64Range(0, 20).Draw(t, "rise "+name))
	return s
}

func TestSwappingEndsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, a, b := randomProfile(t), randomStation(t, "a"), randomStation(t, "b")
		there, err := linkbudget.Evaluate(p, a, b, environment())
		if err != nil {
			t.Fatal(err)
		}
		back, err := linkbudget.Evaluate(reversed(p), b, a, environment())
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, "loss", back.LossDB, there.LossDB, 1e-6)
		check.Near(t, "margin", back.MarginDB, there.MarginDB, 1e-6)
		check.Near(t, "forward margin", back.Backward.MarginDB, there.Forward.MarginDB, 1e-6)
		check.Near(t, "pessimistic loss", back.PessimisticLossDB(), there.PessimisticLossDB(), 1e-6)
	})
}

func TestDatumShiftChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, a, b := randomProfile(t), randomStation(t, "a"), randomStation(t, "b")
		shift := rapid.Float64Range(-400, 3000).Draw(t, "shift")
		before, err := linkbudget.Evaluate(p, a, b, environment())
		if err != nil {
			t.Fatal(err)
		}
		for i := range p.HeightM {
			p.HeightM[i] += shift
		}
		after, err := linkbudget.Evaluate(p, a, b, environment())
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, "loss", after.LossDB, before.LossDB, 1e-6)
	})
}

func TestTermsAddUpAndEverythingIsFinite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, a, b := randomProfile(t), randomStation(t, "a"), randomStation(t, "b")
		r, err := linkbudget.Evaluate(p, a, b, environment())
		if err != nil {
			t.Fatal(err)
		}
		var loss linkbudget.DB
		for _, term := range r.Terms {
			loss += term.DB
		}
		check.Near(t, "sum of the terms", loss, r.LossDB, 1e-9)
		for _, d := range []linkbudget.Direction{r.Forward, r.Backward} {
			level := d.TxDBm
			for _, item := range d.Items {
				level = level.Add(item.DB)
			}
			check.Near(t, "sum of the items", linkbudget.DB(level), linkbudget.DB(d.RxDBm), 1e-9)
			check.Near(t, "margin", d.MarginDB, d.RxDBm.Sub(d.SensitivityDBm), 1e-9)
			check.Near(t, "margin by SNR", d.MarginDB, d.SNRDB-environment().Modem.RequiredSNR(), 1e-9)
		}
		check.Near(t, "margin of the weaker direction", r.MarginDB, min(r.Forward.MarginDB, r.Backward.MarginDB),
			float64(linkbudget.EqualMargins))
		for name, v := range map[string]float64{"loss": float64(r.LossDB), "elevation": r.ElevationDeg,
			"pessimistic": float64(r.PessimisticLossDB()), "worst": r.Worst.Fraction} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%s is %v", name, v)
			}
		}
	})
}

// Two masts far above level ground: no diffraction, so free space over the
// slant distance (ITU-R P.525-4), here by hand for 915 MHz and 10 km:
// 20 log10(4 pi 10000/0.327642) = 111.676 dB, propagation reference check 1e.
func TestNoObstacleIsFreeSpace(t *testing.T) {
	p := profile(10e3, 101, func(float64) float64 { return 100 })
	s := linkbudget.DefaultStation("s", 250)
	r, err := linkbudget.Evaluate(p, s, s, environment())
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, "loss", r.LossDB, 111.676, 0.001)
	if r.Diffraction.LossDB != 0 || r.Path != diffraction.PathClear {
		t.Errorf("diffraction %v, path %s; want 0, clear", r.Diffraction.LossDB, r.Path)
	}
}

// A 300 m ridge in the middle of 10 km. With k = 4/3 the bulge there is
// 1.471 m (25e6/(2*8494667)) and the line of sight 110 m, so the ridge of 300 m
// stands 191.5 m above it, 6.6 first Fresnel radii of 28.620 m.
func TestRidgeBlocks(t *testing.T) {
	p := profile(10e3, 101, func(x float64) float64 {
		if math.Abs(x-0.5) < 1e-9 {
			return 300
		}
		return 100
	})
	r, err := linkbudget.Evaluate(p, linkbudget.DefaultStation("a", 10), linkbudget.DefaultStation("b", 10), environment())
	if err != nil {
		t.Fatal(err)
	}
	if r.Path != diffraction.PathBlocked || len(r.Obstacles) != 1 || r.Worst.AtM != 5000 {
		t.Fatalf("path %s, %d obstacles, worst at %g m; want blocked, 1, 5000", r.Path, len(r.Obstacles), r.Worst.AtM)
	}
	if !(math.Abs(r.Worst.ClearanceM+191.471) <= 0.01) || !(math.Abs(r.Worst.Fraction+191.471/28.620) <= 0.001) {
		t.Errorf("clearance %.3f m, %.4f F1", r.Worst.ClearanceM, r.Worst.Fraction)
	}
	if r.SingleEdgeDB == nil || !(*r.SingleEdgeDB < r.Diffraction.LossDB) {
		t.Errorf("single edge %v, diffraction %v: want the edge below", r.SingleEdgeDB, r.Diffraction.LossDB)
	}
	if r.Reflection != nil {
		t.Error("a blocked path has no two-ray reflection")
	}
}

func TestMissingGroundIsUnknownAndSaysWhere(t *testing.T) {
	p := profile(10e3, 11, func(float64) float64 { return 100 })
	p.Flags = make([]terrain.Flag, 11)
	p.Flags[4], p.Flags[5], p.Flags[9] = terrain.Void, terrain.Void, terrain.Outside
	for i := range 11 {
		p.Points = append(p.Points, orb.Point{10 + float64(i)/100, 50})
	}
	s := linkbudget.DefaultStation("s", 10)
	r, err := linkbudget.Evaluate(p, s, s, environment())
	if err != nil {
		t.Fatal(err)
	}
	if r.Verdict != linkbudget.Unknown || len(r.Gaps) != 2 || r.LossDB != 0 {
		t.Fatalf("verdict %s, %d gaps, loss %v", r.Verdict, len(r.Gaps), r.LossDB)
	}
	text := strings.Join(r.Reasons(), "\n")
	for _, want := range []string{"void from 4.00 to 5.00 km, first at 10.04000, 50.00000",
		"outside the terrain at 9.00 km"} {
		if !strings.Contains(text, want) {
			t.Errorf("reasons %q do not say %q", text, want)
		}
	}
}

func TestEveryFaultOfTheInputIsListed(t *testing.T) {
	p := profile(10e3, 11, func(float64) float64 { return 100 })
	a := linkbudget.Station{Name: "a", HeightM: -1, TxDBm: 99}
	b := linkbudget.Station{Name: "b", HeightM: math.NaN(),
		Antenna: linkbudget.Antenna{PeakDBi: linkbudget.DB(math.NaN())}}
	env := linkbudget.Environment{FreqHz: 9e9, Modem: linkbudget.Modem{SF: 13, BWHz: 125e3, CR: 1}, K: 20}
	_, err := linkbudget.Evaluate(p, a, b, env)
	if err == nil {
		t.Fatal("no error")
	}
	for _, want := range []string{`"a": height_m: found -1`, "tx_dbm: found 99", `"b": height_m: found NaN`,
		"gain_dbi: found NaN", "freq_mhz: found 9000, allowed 100 to 3000", "13", "k: found 20"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("error does not say %q:\n%v", want, err)
		}
	}
}

// The verdict follows the probability of the weaker direction: at a margin of
// z doubts it is the normal integral, 0.9 at 1.2816 (normal tables).
func TestVerdictFollowsTheProbability(t *testing.T) {
	p := profile(10e3, 101, func(float64) float64 { return 100 })
	s := linkbudget.DefaultStation("s", 250)
	env := environment()
	env.Modem.SF, env.Modem.BWHz = 5, 500e3
	r, err := linkbudget.Evaluate(p, s, s, env)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		z, probability float64
		want           linkbudget.Verdict
	}{{1.29, 0.9015, linkbudget.Reaches}, {1.27, 0.8980, linkbudget.Marginal}, {0.01, 0.5040, linkbudget.Marginal},
		{-0.01, 0.4960, linkbudget.Short}, {-1.6449, 0.05, linkbudget.Short}} {
		margin := linkbudget.DB(c.z) * r.Doubt.SigmaDB
		weak := s
		weak.Name, weak.TxDBm = "weak", s.TxDBm.Add(margin-r.MarginDB)
		strong := s
		strong.TxDBm = weak.TxDBm.Add(1)
		got, err := linkbudget.Evaluate(p, strong, weak, env)
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, "margin", got.MarginDB, margin, 1e-9)
		check.Near(t, "doubt", got.Doubt.SigmaDB, r.Doubt.SigmaDB, 1e-9)
		if got.Verdict != c.want || got.Weaker().From != "weak" || !(math.Abs(got.Probability-c.probability) <= 5e-5) {
			t.Errorf("z %g: verdict %s, weaker %s, probability %.5f; want %s, weak, %.4f", c.z, got.Verdict, got.Weaker().From,
				got.Probability, c.want, c.probability)
		}
	}
}
