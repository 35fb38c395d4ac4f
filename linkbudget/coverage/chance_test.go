package coverage_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// plains is rolling land of some metres, in the whole metres of a terrain model.
func plains(testing.TB) terrain.DEM {
	g := gridAt(10, 48, 500)
	for i := range g.HeightM {
		x, y := float64(i%500), float64(i/500)
		g.HeightM[i] = float32(math.Round(80 + 4*math.Sin(x/31)*math.Cos(y/47) + 3*math.Sin(x/9+y/5) +
			1.2*math.Sin(x*1.7)*math.Cos(y*2.1)))
	}
	return g
}

// sea is level but for some islands.
func sea(testing.TB) terrain.DEM {
	g := gridAt(10, 48, 500)
	for i := range g.HeightM {
		x, y := float64(i%500), float64(i/500)
		g.HeightM[i] = float32(math.Round(max(0, 250*math.Sin(x/40)*math.Sin(y/55)-140)))
	}
	return g
}

// A coverage tells what a link tells: the chance that the path to a cell closes, and its
// margin, over mountains, plains and sea, to receivers at 2 and 10 m, with ends of all kinds.
func TestChanceIsThatOfTheLink(t *testing.T) {
	type ground struct {
		name string
		dem  terrain.DEM
		at   orb.Point
	}
	grounds := []ground{
		{"mountains", cumberland(t), orb.Point{-84.2405, 36.5565}}, {"plains", plains(t), orb.Point{10.205, 47.793}},
		{"sea", sea(t), orb.Point{10.2212, 47.79}},
	}
	ends := []linkbudget.Surroundings{{}, {Inside: clutter.Free}, {Inside: clutter.Suburban},
		{WoodM: 30}}
	rng := rand.New(rand.NewPCG(14, 20))
	var all []compared
	bias := map[string][2]float64{}
	for _, g := range grounds {
		for k := range 8 {
			s := scene{dem: nil, at: g.at, radiusM: 15e3}
			s.pole, s.receiver = linkbudget.DefaultStation("pole", []float64{6, 12, 25}[rng.IntN(3)]),
				linkbudget.DefaultStation("receiver", []float64{2, 10}[k%2])
			s.pole.Surroundings, s.receiver.Surroundings = ends[rng.IntN(len(ends))], ends[k/2]
			r, err := coverage.Sweep(context.Background(), s.pole, g.at, g.dem,
				coverage.Options{RadiusM: s.radiusM, Receiver: s.receiver, Environment: env})
			if err != nil {
				t.Fatal(err)
			}
			some := s.compare(t, g.dem, r, 84, 0)
			all = append(all, some...)
			for _, c := range some {
				b := bias[g.name]
				bias[g.name] = [2]float64{b[0] + c.off(), b[1] + 1}
			}
		}
	}
	chance := quantile(all, 0.95, func(c compared) float64 { return math.Abs(c.chance) })
	margin := quantile(all, 0.95, func(c compared) float64 { return math.Abs(c.marginDB) })
	var mean float64
	for _, c := range all {
		mean += c.marginDB / float64(len(all))
	}
	t.Logf("%d cells: 95 %% within %.4f of the chance and %.2f dB of the margin, which is %+.3f dB off in the mean",
		len(all), chance, margin, mean)
	for name, b := range bias {
		t.Logf("%s: %.0f cells, loss %+.3f dB off in the mean", name, b[1], b[0]/b[1])
	}
	if !(chance <= 0.03) || !(margin <= 0.5) || !(math.Abs(mean) <= 0.1) || len(all) < 2000 {
		t.Error("allowed 0.03, 0.5 dB and 0.1 dB of 2,000 cells or more")
	}
}
