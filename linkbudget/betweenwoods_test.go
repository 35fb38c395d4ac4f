package linkbudget_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/terrain"
)

// standsAt is what stands x m along a path, on a level of points every stepM.
func standsAt(lengthM, stepM float64, at func(x float64) terrain.Standing) terrain.Profile {
	p := profile(lengthM, int(lengthM/stepM)+1, func(float64) float64 { return 100 })
	for _, x := range p.DistM {
		s := at(x)
		if s.Class == terrain.CoverUnknown {
			s.Class = terrain.CoverOpen
		}
		p.Standing = append(p.Standing, s)
	}
	return p
}

func onBareEarth(t *testing.T, p terrain.Profile, heightAM, heightBM float64) linkbudget.Result {
	t.Helper()
	if err := p.FindWoods(); err != nil {
		t.Fatal(err)
	}
	env := environment()
	env.BareEarth = true
	a, b := linkbudget.DefaultStation("a", heightAM), linkbudget.DefaultStation("b", heightBM)
	r, err := linkbudget.Evaluate(p, a, b, env)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func between(fromM, toM float64, heightM float32) func(x float64) terrain.Standing {
	return func(x float64) (s terrain.Standing) {
		if x >= fromM && x < toM {
			s = terrain.Standing{Class: terrain.CoverWood, HeightM: heightM}
		}
		return s
	}
}

// By hand, at 915 MHz: antennas of 12 m, 4 km apart over level ground; trees of 15 m stand from 2 km on.
// Through: P.833-10 §2.1, 26.0 (1 - exp(-d · 0.167/26.0)). Over: the bulge x y/(2 · 8,494.7 km) lifts the
// tops 3.24 m over the ray; at the far rim and at the near one P.526-15 §4.5.1 has the largest slopes,
// ν = sqrt(2 d a b/λ) and with eq (31) J(ν), L = J + (1 - exp(-J/6)) (10 + 0.02 · 4). Bare ground has
// ν = -0.92: it loses nothing.
func TestWoodBetweenByHand(t *testing.T) {
	bare := onBareEarth(t, standsAt(4000, 10, between(0, 0, 0)), 12, 12)
	for _, row := range []struct{ depthM, through, over float64 }{
		{10, 1.617, 15.741}, {50, 7.142, 15.773}, {200, 18.804, 15.898}, {600, 25.449, 16.313},
	} {
		r := onBareEarth(t, standsAt(4000, 10, between(1995, 1995+row.depthM, 15)), 12, 12)
		what := fmt.Sprintf("%g m deep", row.depthM)
		check.Near(t, what, float64(r.LossDB-bare.LossDB), min(row.through, row.over), 0.1)
		if through := term(r, "woods between"); row.through < row.over {
			check.Near(t, what+", through", through, row.through, 0.1)
			check.Near(t, what+", nothing of it on the profile", float64(r.Diffraction.LossDB-bare.Diffraction.LossDB), 0, 1e-9)
		} else if through != 0 {
			t.Errorf("%s: %v dB through it and over it", what, through)
		}
		var sum linkbudget.DB
		for _, term := range r.Terms {
			sum += term.DB
		}
		check.Near(t, what+", the terms", float64(sum), float64(r.LossDB), 1e-9)
	}
	// Houses are no wood.
	houses := onBareEarth(t, standsAt(4000, 10, func(x float64) terrain.Standing {
		s := between(1995, 2005, 15)(x)
		if s.Class == terrain.CoverWood {
			s.Class = terrain.CoverUrban
		}
		return s
	}), 12, 12)
	check.Near(t, "houses", float64(houses.LossDB-bare.LossDB), 15.741, 0.1)
}

// Trees that grow add no more to a metre than a decibel beside what their tops alone would, on the
// profile as ITU-R P.1812-6 §3.2 has them, whatever stands beside them. A wood whose edge moves from point to
// point, 10 m, adds no more than a decibel to a metre.
func TestWoodsBetweenMakeNoJump(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	grounds := map[string]func(x float64) float64{
		"level": func(float64) float64 { return 100 },
		"hills": func(x float64) float64 { return 100 + 12*math.Sin(x/310) + 5*math.Sin(x/97) },
	}
	type stands = func(v float64) func(x float64) terrain.Standing
	growing := func(fromM, toM float64) stands {
		return func(v float64) func(float64) terrain.Standing { return between(fromM, toM, float32(v)) }
	}
	beside := func(v float64) func(x float64) terrain.Standing {
		return func(x float64) terrain.Standing {
			for _, s := range []terrain.Standing{between(1000, 1300, 15)(x), between(2700, 2730, 20)(x)} {
				if s.Class != 0 {
					return s
				}
			}
			return between(2000, 2200, float32(v))(x)
		}
	}
	for where, ground := range grounds {
		for _, ends := range [][2]float64{{12, 12}, {2.5, 2.5}, {40, 3}} {
			steepest := func(at stands, class terrain.CoverClass, from, to, step, stepM float64) (worst float64) {
				last := math.NaN()
				for v := from; v <= to; v += step {
					p := standsAt(4000, 10, at(v))
					for i, x := range p.DistM {
						p.HeightM[i] = ground(x)
						if p.Standing[i].Class == terrain.CoverWood {
							p.Standing[i].Class = class
						}
					}
					loss := float64(onBareEarth(t, p, ends[0], ends[1]).LossDB)
					if v > from {
						worst = max(worst, math.Abs(loss-last)/stepM)
					}
					last = loss
				}
				return worst
			}
			for what, row := range map[string]struct{ at, alone stands }{
				"a row growing":                {growing(1500, 1520), growing(1500, 1520)},
				"a wood growing":               {growing(900, 1900), growing(900, 1900)},
				"a wood beside others growing": {beside, growing(2000, 2200)},
			} {
				got := steepest(row.at, terrain.CoverWood, 0.05, 40, 0.05, 0.05)
				tops := steepest(row.alone, terrain.CoverUrban, 0.05, 40, 0.05, 0.05)
				t.Logf("%s, %s, ends %v: at most %.2f dB a metre, by the tops alone %.2f", where, what, ends, got, tops)
				if !(got <= tops+1) {
					t.Errorf("%s, %s, ends %v: %.2f dB a metre, by the tops alone %.2f", where, what, ends, got, tops)
				}
			}
			for what, at := range map[string]stands{
				"far":  func(v float64) func(float64) terrain.Standing { return between(1495, 1505+v, 15) },
				"near": func(v float64) func(float64) terrain.Standing { return between(2305-v, 2305, 18) },
			} {
				got := steepest(at, terrain.CoverWood, 0, 800, 10, 10)
				t.Logf("%s, %s edge moving, ends %v: at most %.2f dB a metre", where, what, ends, got)
				if !(got <= 1) {
					t.Errorf("%s, %s edge moving, ends %v: %.2f dB a metre", where, what, ends, got)
				}
			}
		}
	}
}
