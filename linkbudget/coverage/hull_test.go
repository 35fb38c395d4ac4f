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
// hull, hollow so that only the ends do.
var grounds = map[string]func(i, n int, rng *rand.Rand) float64{
	"rough":   func(_, _ int, rng *rand.Rand) float64 { return 400 * rng.Float64() },
	"steps":   func(_, _ int, rng *rand.Rand) float64 { return float64(rng.IntN(4)) },
	"level":   func(int, int, *rand.Rand) float64 { return 100 },
	"slope":   func(i, _ int, _ *rand.Rand) float64 { return 2 * float64(i) },
	"hill":    func(i, n int, _ *rand.Rand) float64 { u := float64(i)/float64(n) - 0.4; return 300 - 900*u*u },
	"hollow":  func(i, n int, _ *rand.Rand) float64 { u := float64(i)/float64(n) - 0.4; return 900 * u * u },
	"terrace": func(i, _ int, _ *rand.Rand) float64 { return float64(i / 7 * 20) },
	"spike": func(i, n int, _ *rand.Rand) float64 {
		if i == n/3 {
			return 250
		}
		return 0
	},
}

var groundNames = []string{"rough", "steps", "level", "slope", "hill", "hollow", "terrace", "spike"}

// makeGround returns n points, some metres to some tens of metres apart.
func makeGround(name string, n int, even bool, seed uint64) (x, y []float32) {
	rng := rand.New(rand.NewPCG(seed, 3))
	x, y = make([]float32, n), make([]float32, n)
	d := 0.0
	for i := range n {
		if even {
			d += 30
		} else {
			d += 1 + 40*rng.Float64()
		}
		x[i], y[i] = float32(d), float32(grounds[name](i, n, rng))
	}
	return x, y
}

func hullOf(x, y []float32) *hull {
	u := newHull(len(x))
	for i := range x {
		u.push(x, y, int32(i))
	}
	return &u
}

// steepest is the largest slope from (px, py) back to a point up to last, by
// looking at every one.
func steepest(x, y []float32, last int, px, py float64) float64 {
	best := math.Inf(-1)
	for j := range last + 1 {
		best = max(best, (float64(y[j])-py)/(px-float64(x[j])))
	}
	return best
}

// checkHull compares the three answers of a hull with a look at every point.
// Points as good as each other may be named either way, so values are compared.
func checkHull(t interface{ Fatalf(string, ...any) }, what string, x, y []float32, u *hull, last int, ahead, up, slope float64) {
	px, py := float64(x[last])+ahead, float64(y[last])+up
	at := u.tangent(x, y, int32(last), px, py)
	if at < 0 || int(at) > last {
		t.Fatalf("%s: tangent at point %d of %d", what, at, last)
	}
	got, want := (float64(y[at])-py)/(px-float64(x[at])), steepest(x, y, last, px, py)
	if !(math.Abs(got-want) <= 1e-9*(1+math.Abs(want))) {
		t.Fatalf("%s: tangent from %.3f, %.3f over points 0 to %d: slope %.12g at %d, the steepest is %.12g", what, px, py, last, got, at, want)
	}
	top := u.support(x, y, int32(last), slope)
	want = math.Inf(-1)
	for j := range last + 1 {
		want = max(want, float64(y[j])-slope*float64(x[j]))
	}
	if top < 0 || int(top) > last {
		t.Fatalf("%s: support at point %d of %d", what, top, last)
	}
	if got := float64(y[top]) - slope*float64(x[top]); !(math.Abs(got-want) <= 1e-9*(1+math.Abs(want))) {
		t.Fatalf("%s: support with slope %g over points 0 to %d: %.9f at %d, the highest is %.9f", what, slope, last, got, top, want)
	}
	if last == 0 {
		if u.before[0] != -1 {
			t.Fatalf("%s: point %d before the first", what, u.before[0])
		}
		return
	}
	b := u.before[last]
	if b < 0 || int(b) >= last {
		t.Fatalf("%s: point %d before %d", what, b, last)
	}
	got, want = float64(y[b]-y[last])/float64(x[last]-x[b]), steepest(x, y, last-1, float64(x[last]), float64(y[last]))
	if !(math.Abs(got-want) <= 1e-5*(1+math.Abs(want))) {
		t.Fatalf("%s: before %d is %d, slope %.9g, the steepest is %.9g", what, last, b, got, want)
	}
}

func TestHullAgainstEveryPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(groundNames).Draw(t, "ground")
		n := rapid.IntRange(1, 300).Draw(t, "points")
		x, y := makeGround(name, n, rapid.Bool().Draw(t, "even"), rapid.Uint64().Draw(t, "seed"))
		u := hullOf(x, y)
		for range 20 {
			last := rapid.IntRange(0, n-1).Draw(t, "last")
			checkHull(t, name, x, y, u, last, rapid.Float64Range(0.5, 5000).Draw(t, "ahead"), rapid.Float64Range(-300, 300).Draw(t, "up"), rapid.Float64Range(-3, 3).Draw(t, "slope"))
		}
	})
}

// On a smooth hill of 5,000 points all lie on the hull and searches skip far;
// from any length of the ray, also long after more points came.
func TestHullOfLongSmoothGround(t *testing.T) {
	const n = 5000
	for _, name := range groundNames {
		x, y := makeGround(name, n, true, 1)
		u := hullOf(x, y)
		rng := rand.New(rand.NewPCG(5, 8))
		for range 400 {
			last := rng.IntN(n)
			what := fmt.Sprintf("%s of %d points", name, n)
			checkHull(t, what, x, y, u, last, 1+60*rng.Float64(), 100*(rng.Float64()-0.5), 0.2*(rng.Float64()-0.5))
		}
	}
	x, y := makeGround("hill", n, true, 1)
	u := hullOf(x, y)
	count := 0
	for j := int32(n - 1); j >= 0; j = u.before[j] {
		count++
	}
	// In float32 some of the points sink under the line of their neighbours.
	if count < n/4 {
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
		checkNearest(t, name, x, y, hullOf(x, y), last,
			rapid.Float64Range(0.5, 2000).Draw(t, "ahead"), rapid.Float64Range(-0.3, 0.3).Draw(t, "slope"), rapid.Float64Range(0.01, 80).Draw(t, "clear"), rapid.Float64Range(-3, 3).Draw(t, "limit"))
	})
}

// checkNearest lays a line of that slope over the ground, clear of it by a
// height at its highest point, and looks for the point that comes closest.
func checkNearest(t interface{ Fatalf(string, ...any) }, what string, x, y []float32, u *hull, last int, ahead, slope, clear, limit float64) {
	r := &ray{dist: x, y: y, upper: *u}
	s := sight{slope: slope, distM: float64(x[last]) + ahead, y0: math.Inf(-1)}
	for j := range last + 1 {
		s.y0 = max(s.y0, float64(y[j])-slope*float64(x[j])+clear)
	}
	want := math.Inf(1)
	for j := range last + 1 {
		d := float64(x[j])
		g := s.y0 + s.slope*d - float64(y[j])
		want = min(want, g*g/(d*(s.distM-d)))
	}
	// With a limit above the least and below it, but not so near that rounding decides.
	best := want * math.Pow(10, math.Copysign(max(math.Abs(limit), 1e-6), limit))
	at, value := r.nearest(s, int32(last), best)
	switch {
	case want >= best:
		if at != -1 {
			t.Fatalf("%s: point %d with %g found, none is below %g", what, at, value, best)
		}
	case at < 0 || int(at) > last || !(math.Abs(value-want) <= 1e-9*want):
		t.Fatalf("%s: points 0 to %d under a line %.3f + %.4f d up to %.1f m: %.9g at %d, the least is %.9g", what, last, s.y0, s.slope, s.distM, value, at, want)
	}
}

func TestNearestOnLongSmoothGround(t *testing.T) {
	const n = 5000
	for _, name := range groundNames {
		x, y := makeGround(name, n, true, 1)
		u := hullOf(x, y)
		rng := rand.New(rand.NewPCG(5, 13))
		for range 400 {
			checkNearest(t, name, x, y, u, rng.IntN(n), 1+3000*rng.Float64(), 0.1*(rng.Float64()-0.5), 0.1+50*rng.Float64(), 1)
		}
	}
}
