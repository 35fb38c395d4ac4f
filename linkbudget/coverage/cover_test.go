package coverage_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// patches is a cover of woods, towns, water and open country, in patches of some hundred metres made by
// noise; only classes that are wanted.
type patches struct {
	only terrain.CoverClass
	rows bool      // of trees, 20 to 60 m wide, and nothing else
	ring orb.Point // unless it is zero only a wood from 20 to 300 m around it
	all  bool      // a wood everywhere, and nothing else
}

func (c patches) Standing(at []orb.Point, out []terrain.Standing) error {
	for i, p := range at {
		x, y := (p[0]+85)*3600/25, (37-p[1])*3600/25
		out[i] = terrain.Standing{Class: terrain.CoverOpen}
		v := noise(x, y, 77)
		switch {
		case v > 0.62:
			out[i].Class = terrain.CoverWood
		case v > 0.55:
			out[i] = terrain.Standing{Class: terrain.CoverSuburban, HeightM: 7}
		case v < 0.2:
			out[i].Class = terrain.CoverWater
		}
		if c.rows {
			out[i].Class = terrain.CoverOpen
			if math.Abs(v-0.5) < 0.03 {
				out[i].Class = terrain.CoverWood
			}
		}
		if c.ring != (orb.Point{}) {
			d := terrain.Inverse(c.ring, p).DistM
			out[i].Class = terrain.CoverOpen
			if d > 20 && d < 300 {
				out[i].Class = terrain.CoverWood
			}
		}
		if c.all {
			out[i] = terrain.Standing{Class: terrain.CoverWood}
		}
		if c.only != 0 && out[i].Class != c.only {
			out[i] = terrain.Standing{Class: terrain.CoverOpen}
		}
	}
	return nil
}

// drawnCell is a judged cell, leastM from the pole and more, and its own path.
func drawnCell(t *testing.T, rng *rand.Rand, r *coverage.Raster, dem terrain.DEM, pole, rx linkbudget.Station,
	env linkbudget.Environment, leastM float64) (coverage.Cell, linkbudget.Result, terrain.Profile) {
	t.Helper()
	for {
		i := rng.IntN(len(r.Cells))
		place := r.Post(i%r.Cols, i/r.Cols)
		if r.Cells[i].State() != coverage.Judged || terrain.Inverse(r.At, place).DistM < leastM {
			continue
		}
		p, err := terrain.NewProfile(dem, r.At, place, terrain.ProfileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		single, err := linkbudget.Evaluate(p, pole, rx, env)
		if err != nil {
			t.Fatal(err)
		}
		return r.Cells[i], single, p
	}
}

// Cells over woods and houses against single paths, as without. The sweep takes what stands at the post
// next to a sample, single paths at the place, so that edges lie up to a post apart; rows of trees, hardly wider
// than that, are passed through one at a time.
func TestCoverAgainstSinglePaths(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	g := mountains(600)
	at := middle(g)
	for name, tc := range map[string]struct {
		only terrain.CoverClass
		rows bool
		bare bool
		rxM  float64
		bars [3]float64 // median and 95 % of the loss, dB; 95 % of the chance
	}{
		"houses, bare earth":   {terrain.CoverSuburban, false, true, 2, [3]float64{0.1, 1.5, 0.04}},
		"woods, bare earth":    {terrain.CoverWood, false, true, 2, [3]float64{0.2, 2.5, 0.06}},
		"woods, unclear":       {terrain.CoverWood, false, false, 2, [3]float64{0.2, 2.5, 0.05}},
		"one wood, pole in it": {terrain.CoverWood, false, true, 2, [3]float64{0.2, 2.5, 0.06}},
		"woods, rx in wood":    {terrain.CoverWood, false, true, 2, [3]float64{0.2, 2.5, 0.06}},
		"one wood, stated":     {terrain.CoverWood, false, true, 2, [3]float64{0.2, 2.5, 0.06}},
		"woods, unclear, 99 %": {terrain.CoverWood, false, false, 2, [3]float64{0.2, 2.5, 0.05}},
		"rows, bare earth":     {terrain.CoverWood, true, true, 2, [3]float64{0.2, 3.5, 0.09}},
		"rows, unclear":        {terrain.CoverWood, true, false, 2, [3]float64{0.2, 2.5, 0.06}},
		"clearing, bare earth": {terrain.CoverWood, false, true, 2, [3]float64{0.5, 5, 0.09}},
		"clearing, unclear":    {terrain.CoverWood, false, false, 2, [3]float64{0.5, 4.5, 0.07}},
		"all, unclear":         {0, false, false, 6, [3]float64{0.15, 2, 0.05}},
		"all, bare, over tops": {0, false, true, 18, [3]float64{0.1, 1.5, 0.06}},
		"one wood, free pole":  {terrain.CoverWood, false, true, 2, [3]float64{0.1, 1.8, 0.05}},
		"town, woods":          {terrain.CoverWood, false, true, 2, [3]float64{0.2, 2.5, 0.06}},
		"town, open country":   {terrain.CoverOpen, false, true, 2, [3]float64{0.1, 1, 0.03}},
		"one wood, both in it": {terrain.CoverWood, false, true, 2, [3]float64{0.2, 2.5, 0.06}},
	} {
		cover := patches{only: tc.only, rows: tc.rows, all: strings.HasPrefix(name, "one wood")}
		if strings.HasPrefix(name, "clearing") { // 15 m of trees begin 20 m before the pole
			cover.ring = at
		}
		dem := terrain.WithCover(g, cover)
		pole, rx := linkbudget.DefaultStation("pole", 12), linkbudget.DefaultStation("receiver", tc.rxM)
		switch name {
		case "one wood, free pole":
			pole.Surroundings.Inside = clutter.Free
		case "one wood, pole in it":
			pole.Surroundings.Inside = clutter.Wood
		case "woods, rx in wood", "one wood, stated":
			rx.Surroundings.Inside = clutter.Wood
		}
		env := linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 10, BWHz: 125e3, CR: 1},
			BareEarth: tc.bare}
		if strings.HasSuffix(name, "99 %") {
			env.TimePercent = 99
		}
		if strings.HasPrefix(name, "town") {
			env.TownPercent = 50
		}
		r, err := coverage.Sweep(context.Background(), pole, at, dem, coverage.Options{RadiusM: 7000, Receiver: rx,
			Environment: env})
		if err != nil {
			t.Fatal(err)
		}
		rng := rand.New(rand.NewPCG(4, 5))
		var loss, signed, chance []float64
		for len(loss) < 3000 {
			cell, single, _ := drawnCell(t, rng, r, dem, pole, rx, env, 300)
			off := float64(cell.LossDB() - single.LossDB)
			signed, loss = append(signed, off), append(loss, math.Abs(off))
			chance = append(chance, math.Abs(cell.Probability()-single.Probability))
		}
		for _, list := range [][]float64{loss, signed, chance} {
			slices.Sort(list)
		}
		n := len(loss)
		t.Logf("%s: median %.2f dB (signed %+.2f), 80 %% %.2f dB, 95 %% %.2f dB; chance 95 %% %.3f", name, loss[n/2],
			signed[n/2],
			loss[n*8/10], loss[n*95/100], chance[n*95/100])
		if !(loss[n/2] <= tc.bars[0] && loss[n*95/100] <= tc.bars[1] && chance[n*95/100] <= tc.bars[2]) {
			t.Errorf("%s: allowed %v", name, tc.bars)
		}
	}
}

// openEverywhere is a cover of nothing but open country.
type openEverywhere struct{}

func (openEverywhere) Standing(_ []orb.Point, out []terrain.Standing) error {
	for i := range out {
		out[i] = terrain.Standing{Class: terrain.CoverOpen}
	}
	return nil
}

// Open country everywhere changes no bit of any cell.
func TestOpenCoverChangesNothing(t *testing.T) {
	g := mountains(300)
	for _, bare := range []bool{true, false} {
		opt := coverage.Options{RadiusM: 4000, Receiver: linkbudget.DefaultStation("receiver", 2),
			Environment: linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 10, BWHz: 125e3, CR: 1},
				BareEarth: bare}}
		with, err := coverage.Sweep(context.Background(), linkbudget.DefaultStation("pole", 12), middle(g),
			terrain.WithCover(g, openEverywhere{}), opt)
		if err != nil {
			t.Fatal(err)
		}
		without, err := coverage.Sweep(context.Background(), linkbudget.DefaultStation("pole", 12), middle(g), g, opt)
		if err != nil || !slices.Equal(with.Cells, without.Cells) {
			t.Errorf("bare earth %v: cells differ, or %v", bare, err)
		}
	}
}
