package coverage_test

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
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

// ground is a place to stand a pole.
type ground struct {
	name string
	dem  terrain.DEM
	at   orb.Point
}

// otherMountains are those that cannot stand in the repository.
func otherMountains(t *testing.T) (out []ground) {
	folder := os.Getenv("POLEREACH_DEM_DIR")
	if folder == "" {
		t.Log("without forested hills and volcanoes in the sea: set POLEREACH_DEM_DIR to a folder with " +
			"srtm3/N50E011.hgt.zip and N38W029.SRTMGL3.hgt.zip")
		return nil
	}
	for _, g := range []struct {
		name, tile string
		at         orb.Point
	}{{"forested hills", "N50E011", orb.Point{11.8525, 50.3254}},
		{"volcanoes in the sea", "N38W029.SRTMGL3", orb.Point{-28.3995, 38.4703}}} {
		sources, err := terrain.OpenSources(os.DirFS(folder), "srtm3/"+g.tile+".hgt.zip")
		if err != nil {
			t.Fatal(err)
		}
		dem, err := terrain.NewTiles(sources, terrain.TilesOptions{})
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, ground{g.name, dem, g.at})
	}
	return out
}

// A coverage tells what a link tells: the chance that the path to a cell closes, and its
// margin, over mountains, plains and sea, to receivers at 2 and 10 m, with ends of all kinds. The
// chance on every ground by itself.
func TestChanceIsThatOfTheLink(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	grounds := append([]ground{
		{"mountains", cumberland(t), orb.Point{-84.2405, 36.5565}}, {"plains", plains(t), orb.Point{10.205, 47.793}},
		{"sea", sea(t), orb.Point{10.2212, 47.79}},
	}, otherMountains(t)...)
	ends := []linkbudget.Surroundings{{}, {Inside: clutter.Free}, {Inside: clutter.Suburban},
		{WoodM: 30}}
	rng := rand.New(rand.NewPCG(14, 20))
	var all []compared
	for _, g := range grounds {
		var here []compared
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
			here = append(here, s.compare(t, g.dem, r, 500, 0)...)
		}
		var bias float64
		for _, c := range here {
			bias += c.off() / float64(len(here))
		}
		chance := quantile(here, 0.95, absChance)
		t.Logf("%s: %d cells, 95 %% within %.4f of the chance, loss %+.3f dB off in the mean", g.name, len(here), chance,
			bias)
		if !(chance <= 0.03) {
			t.Errorf("%s: chance within %.4f, allowed 0.03", g.name, chance)
		}
		all = append(all, here...)
	}
	chance := quantile(all, 0.95, absChance)
	margin := quantile(all, 0.95, func(c compared) float64 { return math.Abs(c.marginDB) })
	var mean float64
	for _, c := range all {
		mean += c.marginDB / float64(len(all))
	}
	t.Logf("%d cells: 95 %% within %.4f of the chance and %.2f dB of the margin, which is %+.3f dB off in the mean",
		len(all), chance, margin, mean)
	if !(chance <= 0.03) || !(margin <= 0.5) || !(math.Abs(mean) <= 0.1) || len(all) < 10000 {
		t.Error("allowed 0.03, 0.5 dB and 0.1 dB of 10,000 cells or more")
	}
}
