package timepercent_test

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/internal/official"
	"github.com/polereach/polereach/linkbudget/timepercent"
)

// The official paths over sea: what P.452-18 and P.1812-6 state of the zones of theirs comes out
// of their water and heights. Their coasts are theirs to state: 34 and 8 km on a path that
// leaves the sea 31.5 km before B.
func TestOfficialZones(t *testing.T) {
	dir := official.Folder(t, "p452")
	rows := official.Rows(t, filepath.Join(dir, "profiles", "test_profile_mixed_109km.csv"))[1:]
	distM, heightM, _ := official.Profile(t, rows, -1)
	r := timepercent.Along(51.30985, distM, heightM, func(i int) bool { return rows[i][4] == "3" })
	check.Near(t, "d_tm", r.LandM, 34500, 1e-6)
	check.Near(t, "d_lm", r.InlandM, 6000, 1e-6)
	check.Near(t, "ω", r.SeaFraction, 0.394495, 5e-7)
	check.Near(t, "A's coast", r.ACoastM, 34500, 1e-6)
	check.Near(t, "B's coast", r.BCoastM, 31500, 1e-6)
	check.Near(t, "β0", r.BetaPercent(), 3.225567, 1e-4)
}

// The longest official path, from a mountain over the sea to a low coast: its zones were drawn by
// others, coastal land from a post of 146 m on, and a post of the sea is higher than 1 m.
func TestOfficialZonesOfALongPath(t *testing.T) {
	dir, cases := official.Folder(t, "p1812"), 0
	for _, c := range official.P1812(t) {
		if c.Value["w"] == 0 {
			continue
		}
		cases++
		rows := official.Begun(t, filepath.Join(dir, "profiles", c.Name[:strings.LastIndexByte(c.Name, '_')]+".csv"))
		r := timepercent.Along(c.Value["phi (deg)"], c.DistM, c.GroundM, func(i int) bool { return rows[i][4] == "1" })
		check.At(t, "d_tm, km", c.Name, r.LandM/1e3, c.Value["dtm (km)"], 1e-6)
		check.At(t, "d_lm, km", c.Name, r.InlandM/1e3, c.Value["dlm (km)"], 1)
		check.At(t, "ω", c.Name, r.SeaFraction, c.Value["w"], 0.02)
		check.At(t, "β0, %", c.Name, r.BetaPercent(), c.Value["b0 (%)"], 0.05)
	}
	if cases == 0 {
		t.Error("no case over sea")
	}
}

// By hand: posts every km, 70 km low land, a lake of 9 km at 12 m, 20 km of land at 150 m, a
// lagoon of 4 posts at 0 m, 10 km low land, 60 km of sea, 30 km low land with a hill of 150 m
// over its last 8 posts. Land: 0 to 114.5 km. Inland: all that is 50 km from the sea, 0 to
// 64.5 km, and then the hill land at 79 to 99 km, 78.5 to 99.5: 21 km; 8 posts at the end 7.5 km.
func TestZonesByHand(t *testing.T) {
	var distM, heightM []float64
	var water []bool
	add := func(posts int, height float64, wet bool) {
		for range posts {
			distM = append(distM, 1e3*float64(len(distM)))
			heightM, water = append(heightM, height), append(water, wet)
		}
	}
	add(70, 20, false)   // 0 to 69
	add(9, 12, true)     // to 78
	add(21, 150, false)  // to 99
	add(4, 0, true)      // to 103
	add(11, 5, false)    // to 114
	add(60, -0.5, true)  // to 174
	add(22, 9, false)    // to 196
	add(8, 150.5, false) // to 204
	at := func(i int) bool { return water[i] }
	r := timepercent.Along(45, distM, heightM, at)
	check.Near(t, "d_tm", r.LandM, 114500, 1e-6)
	check.Near(t, "d_lm", r.InlandM, 64500, 1e-6)
	check.Near(t, "ω", r.SeaFraction, 60./204, 1e-12)
	check.Near(t, "A's coast", r.ACoastM, 114500, 1e-6)
	check.Near(t, "B's coast", r.BCoastM, 29500, 1e-6)
	heightM[40] = 99
	check.Near(t, "a post of 99 m far inland", timepercent.Along(45, distM, heightM, at).InlandM, 64500, 1e-6)
	heightM[90] = 99
	check.Near(t, "and near the sea", timepercent.Along(45, distM, heightM, at).InlandM, 64500, 1e-6)
	for i := range 65 {
		water[i], heightM[i] = true, 0
	}
	two := timepercent.Along(45, distM, heightM, at)
	check.Near(t, "d_tm between two seas", two.LandM, 50000, 1e-6)
	check.Near(t, "d_lm between them", two.InlandM, 11000, 1e-6) // 78.5 to 89.5
	check.Near(t, "A in the sea", two.ACoastM, 0, 0)
	for i := range water {
		water[i], heightM[i] = true, 0
	}
	if sea := timepercent.Along(45, distM, heightM, at); sea.LandM != 0 || sea.InlandM != 0 || sea.SeaFraction != 1 {
		t.Errorf("all sea: %+v", sea)
	}
	none := timepercent.Along(45, distM, heightM, func(int) bool { return false })
	if inland := timepercent.Inland(45, 204e3); none != inland {
		t.Errorf("no water: %+v", none)
	}
}

// Whatever the ground, the parts fit into the path, and sea makes bent air no rarer.
func TestZonesFit(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(2, 60).Draw(r, "n")
		distM, heightM, water := make([]float64, n), make([]float64, n), make([]bool, n)
		for i := range n {
			if i > 0 {
				distM[i] = distM[i-1] + rapid.Float64Range(1, 20e3).Draw(r, "step")
			}
			heightM[i] = rapid.SampledFrom([]float64{0, 0, 0, 50, 200}).Draw(r, "height")
			water[i] = rapid.Bool().Draw(r, "water")
		}
		at := func(i int) bool { return water[i] }
		got, lengthM := timepercent.Along(45, distM, heightM, at), distM[n-1]
		if !(got.InlandM <= got.LandM+1e-6 && got.LandM <= lengthM && got.SeaFraction >= 0 && got.SeaFraction <= 1+1e-12) ||
			got.SeaFraction > 0 && !(got.LandM+got.SeaFraction*lengthM <= lengthM+1e-6 && got.SeaFraction*lengthM >= 5e3-1e-6) {
			r.Errorf("%+v of %g m", got, lengthM)
		}
		if inland := timepercent.Inland(45, lengthM); got.BetaPercent() < inland.BetaPercent()-1e-9 {
			r.Errorf("β0 %g, inland %g", got.BetaPercent(), inland.BetaPercent())
		}
		backM, back := make([]float64, n), make([]float64, n)
		for i := range n {
			backM[i], back[i] = lengthM-distM[n-1-i], heightM[n-1-i]
		}
		turned := timepercent.Along(45, backM, back, func(i int) bool { return water[n-1-i] })
		if math.Abs(turned.InlandM-got.InlandM) > 1e-6 || math.Abs(turned.LandM-got.LandM) > 1e-6 ||
			got.SeaFraction > 0 && math.Abs(turned.ACoastM-got.BCoastM) > 1e-6 {
			r.Errorf("back %+v, there %+v", turned, got)
		}
	})
}
