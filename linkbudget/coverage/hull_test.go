package coverage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// grounds are ways a ground can be hard for a search: rough, level, on one
// slope, with many points of one height, smooth so that all points lie on the
// hull, level water flattened, hollow so that only the ends do.
var grounds = map[string]func(i, n int, rng *rand.Rand) float64{
	"rough":   func(_, _ int, rng *rand.Rand) float64 { return 400 * rng.Float64() },
	"steps":   func(_, _ int, rng *rand.Rand) float64 { return float64(rng.IntN(4)) },
	"level":   func(int, int, *rand.Rand) float64 { return 100 },
	"slope":   func(i, _ int, _ *rand.Rand) float64 { return 2 * float64(i) },
	"hill":    func(i, n int, _ *rand.Rand) float64 { u := float64(i)/float64(n) - 0.4; return 300 - 900*u*u },
	"water":   func(i, _ int, _ *rand.Rand) float64 { return 0 }, // flattened in makeGround
	"hollow":  func(i, n int, _ *rand.Rand) float64 { u := float64(i)/float64(n) - 0.4; return 900 * u * u },
	"terrace": func(i, _ int, _ *rand.Rand) float64 { return float64(i / 7 * 20) },
	"islands": func(i, _ int, _ *rand.Rand) float64 {
		return max(0, 60*math.Sin(float64(i)/40)*math.Sin(float64(i)/150)-20)
	},
	"spike": func(i, n int, _ *rand.Rand) float64 {
		if i == n/3 {
			return 250
		}
		return 0
	},
}

var groundNames = []string{"rough", "steps", "level", "slope", "hill", "hollow", "terrace", "islands", "spike", "water"}

// makeGround returns n points, some metres to some tens of metres apart.
func makeGround(name string, n int, even bool, seed uint64) (x, y []float64) {
	rng := rand.New(rand.NewPCG(seed, 3))
	x, y = make([]float64, n), make([]float64, n)
	d := 0.0
	for i := range n {
		if even {
			d += 30
		} else {
			d += 1 + 40*rng.Float64()
		}
		x[i], y[i] = d, grounds[name](i, n, rng)
		if name == "water" {
			y[i] = -d * d / 17e6
		}
	}
	return x, y
}

// hullOf returns the hull of the points up to last.
func hullOf(x, y []float64, last int) *hull {
	u := &hull{}
	for i := range last + 1 {
		u.push(x[i], y[i], i)
	}
	return u
}

// steepest is the largest slope from (px, py) back to a point up to last, by
// looking at every one.
func steepest(x, y []float64, last int, px, py float64) float64 {
	best := math.Inf(-1)
	for j := range last + 1 {
		best = max(best, (y[j]-py)/(px-x[j]))
	}
	return best
}

// checkHull compares the answers of a hull with a look at every point. Points as
// good as each other may be named either way, so values are compared.
func checkHull(t interface{ Fatalf(string, ...any) }, what string, x, y []float64, u *hull, last int,
	ahead, up, slope float64) {
	px, py := x[last]+ahead, y[last]+up
	k, got := u.summit(last/2, func(p *hullPoint) float64 { return (p.y - py) / (px - p.x) })
	top := u.points[k]
	if top.i < 0 || top.i > last || top.x != x[top.i] || top.y != y[top.i] {
		t.Fatalf("%s: tangent at %+v of %d points", what, top, last+1)
	}
	if want := steepest(x, y, last, px, py); !(math.Abs(got-want) <= 1e-9*(1+math.Abs(want))) {
		t.Fatalf("%s: tangent from %.3f, %.3f over points 0 to %d: slope %.12g at %d, the steepest is %.12g", what, px, py,
			last, got, top.i, want)
	}
	_, got = u.summit(last/3, func(p *hullPoint) float64 { return p.y - slope*p.x })
	want := math.Inf(-1)
	for j := range last + 1 {
		want = max(want, y[j]-slope*x[j])
	}
	if !(math.Abs(got-want) <= 1e-9*(1+math.Abs(want))) {
		t.Fatalf("%s: highest over slope %g over points 0 to %d: %.9f, the highest is %.9f", what, slope, last, got, want)
	}
}

func TestHullAgainstEveryPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(groundNames).Draw(t, "ground")
		n := rapid.IntRange(1, 300).Draw(t, "points")
		x, y := makeGround(name, n, rapid.Bool().Draw(t, "even"), rapid.Uint64().Draw(t, "seed"))
		// One hull after another grown longer, as along a ray: searches start where
		// the last one ended.
		u, last := &hull{}, -1
		for last < n-1 {
			for range rapid.IntRange(1, 40).Draw(t, "more") {
				if last < n-1 {
					last++
					u.push(x[last], y[last], last)
				}
			}
			checkHull(t, name, x, y, u, last, rapid.Float64Range(0.5, 5000).Draw(t, "ahead"),
				rapid.Float64Range(-300, 300).Draw(t, "up"), rapid.Float64Range(-3, 3).Draw(t, "slope"))
		}
	})
}

// On a smooth hill of 5,000 points all lie on the hull and searches gallop.
func TestHullOfLongSmoothGround(t *testing.T) {
	const n = 5000
	for _, name := range groundNames {
		x, y := makeGround(name, n, true, 1)
		u, rng := &hull{}, rand.New(rand.NewPCG(5, 8))
		for i := range n {
			u.push(x[i], y[i], i)
			if i%97 == 0 {
				for range 8 {
					checkHull(t, fmt.Sprintf("%s of %d points", name, n), x, y, u, i, 1+60*rng.Float64(), 100*(rng.Float64()-0.5),
						0.2*(rng.Float64()-0.5))
				}
			}
		}
	}
	x, y := makeGround("hill", n, true, 1)
	if count := len(hullOf(x, y, n-1).points); count < n*9/10 {
		t.Errorf("%d points on the hull of a smooth hill of %d: the test is not what it says", count, n)
	}
}

// TestNearestAgainstEveryPoint: lines of sight that pass over the whole ground.
func TestNearestAgainstEveryPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(groundNames).Draw(t, "ground")
		n := rapid.IntRange(1, 300).Draw(t, "points")
		x, y := makeGround(name, n, rapid.Bool().Draw(t, "even"), rapid.Uint64().Draw(t, "seed"))
		last := rapid.IntRange(0, n-1).Draw(t, "last")
		checkNearest(t, name, x, y, last,
			rapid.Float64Range(0.5, 2000).Draw(t, "ahead"), rapid.Float64Range(-0.3, 0.3).Draw(t, "slope"),
			rapid.Float64Range(0.01, 80).Draw(t, "clear"), rapid.Float64Range(-3, 3).Draw(t, "limit"))
	})
}

// checkNearest lays a line of that slope over the ground, clear of it by a
// height at its highest point, and looks for the point that comes closest.
func checkNearest(t interface{ Fatalf(string, ...any) }, what string, x, y []float64, last int,
	ahead, slope, clear, limit float64) {
	r := &ray{dist: x, y: y, h: y, n: len(x), tops: make([]float64, len(x)/blockSize+1),
		levelFrom: make([]int32, len(x)/blockSize+1), roofs: make([]float64, len(x)/roofSize+1)}
	if what == "water" {
		r.h = make([]float64, len(x))
	}
	r.markTops(0)
	r.upper.hull = *hullOf(x, y, last)
	s := sight{slope: slope, distM: x[last] + ahead, y0: math.Inf(-1)}
	for j := range last + 1 {
		s.y0 = max(s.y0, y[j]-slope*x[j]+clear)
	}
	want := math.Inf(1)
	for j := range last + 1 {
		d := x[j]
		g := s.y0 + s.slope*d - y[j]
		want = min(want, g*g/(d*(s.distM-d)))
	}
	// With a limit above the least and below it, but not so near that rounding decides.
	best := want * math.Pow(10, math.Copysign(max(math.Abs(limit), 1e-6), limit))
	at, value := r.nearest(s, best)
	switch {
	case want >= best:
		if at != -1 {
			t.Fatalf("%s: point %d with %g found, none is below %g", what, at, value, best)
		}
	case at < 0 || at > last || !(math.Abs(value-want) <= 1e-9*want):
		t.Fatalf("%s: points 0 to %d under a line %.3f + %.4f d up to %.1f m: %.9g at %d, the least is %.9g", what, last,
			s.y0, s.slope, s.distM, value, at, want)
	}
}

func TestNearestOnLongSmoothGround(t *testing.T) {
	const n = 5000
	for _, name := range groundNames {
		x, y := makeGround(name, n, true, 1)
		rng := rand.New(rand.NewPCG(5, 13))
		for range 400 {
			checkNearest(t, name, x, y, rng.IntN(n), 1+3000*rng.Float64(), 0.1*(rng.Float64()-0.5), 0.1+50*rng.Float64(), 1)
		}
	}
}
