package coverage

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// sampledPath is the path of one cell as the sweep has it, and what both make of it.
type sampledPath struct {
	profile  terrain.Profile
	sweep    lanes // the first one
	evaluate linkbudget.Result
}

// forSamples follows all rays of a sweep, as its workers do, and calls visit at every
// sample before which all ground is known.
func (w *worker) forSamples(visit func(c *crossings, i int)) {
	top := len(w.forks) - 1
	var tree func(c *crossings, level, n int)
	tree = func(c *crossings, level, n int) {
		from, end, ok := w.start(c, level, n)
		if !ok {
			return
		}
		for i := from; i < w.ray.n; i++ {
			if i < w.ray.known {
				visit(c, i)
			}
			w.ray.pass(i, &w.s.judge.set)
		}
		if w.fork(c, level, end) {
			tree(c, level-1, 2*n)
			tree(c, level-1, 2*n+1)
		}
	}
	for number, q := range quadrants {
		c := &w.crossings[number]
		w.posts = posts{c.h, placesOf(int32(c.across)), placesOf(int32(c.sign * c.along))}
		last := int(w.s.rays.half(q)/float64(int(1)<<top)) + 1
		for n := -last; n <= last; n++ {
			tree(c, top, n)
		}
	}
}

// pathAt is the path to a place on the line of sample i, at x across the axis, with its
// ground: the samples that the sweep carries there, and the last ones that it finds for it.
func (w *worker) pathAt(t *testing.T, ends *pathEnds, c *crossings, i int, x, groundM float64) *sampledPath {
	t.Helper()
	s, r, l := w.s, w.ray, &w.lanes
	distM := r.beside(c, i, x)
	w.waiting = 0
	w.addWithGround(c, 0, i, x, distM, groundM)
	if w.waiting != 1 {
		t.Fatalf("sample %d: the ground before it is not known", i)
	}
	k := &s.judge.constants
	k.near(l, &w.posts, 0)
	k.effectiveHeights(l, 0)
	k.edge(l, 0)
	k.smoothEarth(l, 0)
	if l.within[0] != 0 {
		l.excess[0] = float32(s.judge.excess.at(float64(l.d[0]), float64(l.hA[0]), float64(l.hB[0]), w.clearM[0]))
	}
	k.verdict(l, 0)

	out := &sampledPath{sweep: *l}
	p := &out.profile
	p.DistM, p.HeightM = append(p.DistM, 0), append(p.HeightM, s.judge.set.groundM)
	far := max(i-nearSamples, 0)
	for m := range far { // a cell beside the ray is farther on each line of posts, or nearer
		p.DistM, p.HeightM = append(p.DistM, r.dist[m]*distM/r.dist[i]), append(p.HeightM, r.h[m])
	}
	for m := range i - far {
		p.DistM = append(p.DistM, distM-float64(l.nearR[m][0]))
		p.HeightM = append(p.HeightM, float64(l.nearH[m][0])+groundM+s.judge.rxM)
	}
	p.DistM, p.HeightM = append(p.DistM, distM), append(p.HeightM, groundM)
	var err error
	if out.evaluate, err = linkbudget.Evaluate(out.profile, ends.pole, ends.receiver, ends.env); err != nil {
		t.Fatal(err)
	}
	return out
}

// pathEnds are both stations and the air between them.
type pathEnds struct {
	pole, receiver linkbudget.Station
	env            linkbudget.Environment
}

// ends are a pole of 10 m and a receiver of that height, both vertical, both horizontal or
// crossed, each time at another frequency and in other air; the last in a town.
func ends(receiverM float64, polarisation int) pathEnds {
	e := pathEnds{linkbudget.DefaultStation("pole", 10), linkbudget.DefaultStation("receiver", receiverM),
		linkbudget.Environment{SurfaceRefractivity: 325}} // the profiles compared have no places
	e.env.Modem = linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}
	switch polarisation {
	case 0:
		e.env.FreqHz = 868.1e6
	case 1:
		e.env.FreqHz, e.env.K = 433.1e6, 1
		e.pole.Polarisation, e.receiver.Polarisation = radio.Horizontal, radio.Horizontal
	default:
		e.env.FreqHz, e.env.K, e.env.TownPercent = 2.4e9, 2, 50
		e.receiver.Polarisation, e.receiver.Surroundings.Inside = radio.Horizontal, clutter.Suburban
	}
	return e
}

// comparedGrounds are those that the sweep is compared over.
var comparedGrounds = []struct {
	name    string
	dem     func(*testing.T) terrain.DEM
	at      orb.Point
	radiusM float64
}{
	{"mountains, posts every 93 m", cumberlandTile, orb.Point{-84.2405, 36.5565}, 22e3},
	{"mountains, posts every 31 m", madeGround(1.0/3600, func(x, y, random float64) float64 {
		return 500 + 250*math.Sin(x/90)*math.Cos(y/70) + 80*math.Sin(x/17+y/23) + 25*math.Sin(x/4)*math.Sin(y/5) + 6*random
	}), orb.Point{10.0801, 39.9202}, 8e3},
	{"plain", madeGround(1.0/3600, func(x, y, random float64) float64 {
		return 60 + 4*math.Sin(x/31)*math.Cos(y/47) + 2*math.Sin(x/9+y/5) + random
	}), orb.Point{10.0801, 39.9202}, 8e3},
	{"sea with islands", madeGround(1.0/400, func(x, y, _ float64) float64 {
		return max(0, 90*math.Sin(x/60)*math.Sin(y/50)-60)
	}), orb.Point{10.7401, 39.2602}, 80e3},
}

// cumberlandTile has real mountains.
func cumberlandTile(t *testing.T) terrain.DEM {
	t.Helper()
	sources, err := terrain.OpenSources(os.DirFS("../../testdata/cumberland"), "N36W085.hgt.zip")
	if err != nil {
		t.Fatal(err)
	}
	tiles, err := terrain.NewTiles(sources, terrain.TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tiles
}

// madeGround has a height by column, row and a random number from 0 to 1.
func madeGround(stepDeg float64, height func(x, y, random float64) float64) func(*testing.T) terrain.DEM {
	return func(*testing.T) terrain.DEM {
		const n = 601
		rng := rand.New(rand.NewPCG(8, 3))
		g := &terrain.Grid{
			Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 40, StepLonDeg: stepDeg, StepLatDeg: stepDeg, Cols: n, Rows: n},
			HeightM: make([]float32, n*n),
		}
		for i := range g.HeightM {
			g.HeightM[i] = float32(height(float64(i%n), float64(i/n), rng.Float64()))
		}
		return g
	}
}
