package landcover_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/landcover"
)

// star is a ring with corners at random distances from a place.
func star(rng *rand.Rand, at orb.Point, sizeDeg float64, corners int) (ring orb.Ring) {
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		r := sizeDeg * (0.2 + 0.8*rng.Float64())
		ring = append(ring, orb.Point{at[0] + r*cos, at[1] + r*sin})
	}
	return append(ring, ring[0])
}

// outlinesAround are stars with holes around a place, of every class that may be drawn.
func outlinesAround(rng *rand.Rand, n int, at orb.Point) (out []landcover.Outline) {
	for i := range n {
		middle := orb.Point{at[0] + rng.Float64()*0.2, at[1] + rng.Float64()*0.2}
		size := 0.0005 * math.Pow(40, rng.Float64())
		out = append(out, landcover.Outline{
			Rings: orb.Polygon{star(rng, middle, size, 3+rng.IntN(60)), star(rng, middle, size/6, 3+rng.IntN(9))},
			Stands: terrain.Standing{Class: 1 + terrain.CoverClass(i%int(terrain.CoverDenseUrban)),
				HeightM: float32(i % 90)},
		})
	}
	return out
}

// byHand is what stands at a place: the last polygon that orb's even-odd rule puts it into.
func byHand(list []landcover.Outline, at orb.Point) (s terrain.Standing) {
	for _, o := range list {
		if planar.PolygonContains(o.Rings, at) {
			s = o.Stands
			s.Drawn = true
		}
	}
	return s
}

func TestDrawnHoldsWhatOrbHolds(t *testing.T) {
	if testing.Short() {
		t.Skip("6000 points in 300 outlines")
	}
	rng := rand.New(rand.NewPCG(3, 9))
	list := outlinesAround(rng, 300, orb.Point{11, 50})
	cover, err := landcover.Drawn(list, nil)
	if err != nil {
		t.Fatal(err)
	}
	at := make([]orb.Point, 6000)
	for i := range at {
		at[i] = orb.Point{10.95 + 0.3*rng.Float64(), 49.95 + 0.3*rng.Float64()}
		if i%3 == 0 && i > 0 { // as the points of a path: next to each other
			at[i] = orb.Point{at[i-1][0] + 1e-4, at[i-1][1] + 1e-4}
		}
	}
	out := make([]terrain.Standing, len(at))
	if err := cover.Standing(at, out); err != nil {
		t.Fatal(err)
	}
	inside := 0
	for i, p := range at {
		if want := byHand(list, p); out[i] != want {
			t.Fatalf("%v: found %v, by hand %v", p, out[i], want)
		} else if want.Drawn {
			inside++
		}
	}
	if inside < 600 || inside > 5400 {
		t.Errorf("%d of %d places are inside: too few on one side to tell", inside, len(at))
	}
}

// Along a line what stands changes at crossings and nowhere else.
func TestCrossingsAreWhereItChanges(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	list := outlinesAround(rng, 60, orb.Point{11, 50})
	cover, err := landcover.Drawn(list, nil)
	if err != nil {
		t.Fatal(err)
	}
	crossed := 0
	for range 500 {
		a, b := orb.Point{11 + 0.2*rng.Float64(), 50 + 0.2*rng.Float64()},
			orb.Point{11 + 0.2*rng.Float64(), 50 + 0.2*rng.Float64()}
		path := make([]orb.Point, 2+rng.IntN(200))
		for i := range path {
			u := float64(i) / float64(len(path)-1)
			path[i] = orb.Point{a[0] + u*(b[0]-a[0]), a[1] + u*(b[1]-a[1])}
		}
		found := cover.(terrain.Outlined).Crossings(path, nil)
		slices.Sort(found)
		crossed += len(found)
		on := func(x float64) orb.Point {
			i := min(int(x), len(path)-2)
			u := x - float64(i)
			return orb.Point{path[i][0] + u*(path[i+1][0]-path[i][0]), path[i][1] + u*(path[i+1][1]-path[i][1])}
		}
		const least = 1e-7
		marks := append(append([]float64{0}, found...), float64(len(path)-1))
		for k := 1; k < len(marks); k++ {
			from, to := marks[k-1]+least, marks[k]-least
			for n := range 5 { // between two crossings the same stands all along
				if x := from + (to-from)*float64(n)/4; to > from {
					if s := byHand(list, on(x)); s != byHand(list, on(from)) {
						t.Fatalf("from %v to %v: at %g %v, at %g %v, no crossing between", a, b, from, byHand(list, on(from)), x, s)
					}
				}
			}
		}
	}
	if crossed < 1500 {
		t.Errorf("%d crossings are too few to tell", crossed)
	}
}

// Both sides of longitude 180, each drawn by itself, also in longitudes beyond it.
func TestDrawnBesideTheDateLine(t *testing.T) {
	square := func(west, east float64) landcover.Outline {
		return landcover.Outline{Rings: orb.Polygon{{{west, 10}, {east, 10}, {east, 11}, {west, 11}, {west, 10}}},
			Stands: terrain.Standing{Class: terrain.CoverWood, HeightM: 20}}
	}
	cover, err := landcover.Drawn([]landcover.Outline{square(179, 180), square(-180, -179.5)}, nil)
	if err != nil {
		t.Fatal(err)
	}
	out := make([]terrain.Standing, 4)
	if err := cover.Standing([]orb.Point{{179.5, 10.5}, {180.3, 10.5}, {-179.7, 10.5}, {-179.2, 10.5}}, out); err != nil ||
		!out[0].Drawn || !out[1].Drawn || !out[2].Drawn || out[3].Drawn {
		t.Errorf("%v, %v", out, err)
	}
	found := cover.(terrain.Outlined).Crossings([]orb.Point{{178.5, 10.5}, {-179.25, 10.5}}, nil)
	slices.Sort(found)
	want := []float64{0.5 / 2.25, 1.5 / 2.25, 1.5 / 2.25, 2 / 2.25}
	if len(found) != len(want) {
		t.Fatalf("crossings at %v, want %v", found, want)
	}
	for i := range want {
		if math.Abs(found[i]-want[i]) > 1e-9 {
			t.Errorf("crossings at %v, want %v", found, want)
		}
	}
}

func TestDrawnRefusesAllFaultsAtOnce(t *testing.T) {
	wood := terrain.Standing{Class: terrain.CoverWood}
	many := star(rand.New(rand.NewPCG(1, 1)), orb.Point{8, 47}, 0.1, landcover.MaxPositions)
	_, err := landcover.Drawn([]landcover.Outline{
		{Rings: orb.Polygon{{{1, 1}, {2, 1}, {2, 2}}}, Stands: wood},
		{Rings: orb.Polygon{{{1, 1}, {2, 1}, {2, 95}, {1, 1}}}, Stands: terrain.Standing{}},
		{Rings: orb.Polygon{{{179, 1}, {-179, 1}, {-179, 2}, {179, 1}}},
			Stands: terrain.Standing{Class: terrain.CoverUrban, HeightM: 501}},
		{Rings: orb.Polygon{many}, Stands: wood},
	}, nil)
	for _, want := range []string{"outline 0: ring of 3 positions", "outline 1: found {unknown 0}", "outline 1: latitude",
		"outline 2: found {urban 501}", "split it at longitude 180", "found 200012 positions, allowed 200000"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v lacks %q", err, want)
		}
	}
}
