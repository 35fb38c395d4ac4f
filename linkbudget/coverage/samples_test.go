package coverage

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Samples placed run by run lie where the ray's polynomial has each of them, to
// within a thousandth of a post, far less than heights change over (the polynomial
// against geodesics: TestRaysAreGeodesics), and every post belongs to exactly one
// of two neighbours.
func TestSamplesArePlacedOnTheRay(t *testing.T) {
	for _, c := range []struct {
		latDeg, radiusKm, posts float64
	}{
		{36.55, 90, 2900}, {36.55, 300, 1000}, {-60, 300, 300}, {0, 100, 257}, {75, 100, 1000}, {50, 3, 40},
	} {
		t.Run(fmt.Sprintf("%g degrees, %g km", c.latDeg, c.radiusKm), func(t *testing.T) {
			at := orb.Point{12.0003, c.latDeg}
			step := c.radiusKm * 1000 / c.posts / metresPerDegree
			e := terrain.Extent{Bound: orb.Bound{Min: orb.Point{-48, -90}, Max: orb.Point{72, 90}}, StepLonDeg: step,
				StepLatDeg: step}
			w, err := newWindow(at, e, Options{RadiusM: c.radiusKm * 1000, MemoryBytes: 1 << 40}) // laid out only
			if err != nil {
				t.Fatal(err)
			}
			f := newBundle(w, at)
			acrossMost, distMostM, runs := 0.0, 0.0, 0
			for number, q := range quadrants {
				sampled := f.newCrossings(number, 1)
				n := len(sampled.samples)
				r, beside := newRay(n), newRay(n)
				for p := -int(f.half(q)); p < int(f.half(q)); p += 1 + int(f.half(q))/7 {
					r.aim(f, &sampled, 0, p)
					beside.aim(f, &sampled, 0, p+1)
					// The neighbour starts amid a run, as after a fork.
					for i := 0; i < n; i = placeFrom(r, &sampled, i, n) {
						runs++
					}
					for i := 5; i < n; {
						i = placeFrom(beside, &sampled, i, n)
					}
					for i := range n {
						cross, distM := r.at(r.along(sampled.samples[i].along))
						acrossMost, distMostM = max(acrossMost, math.Abs(r.cross[i]-cross)), max(distMostM, math.Abs(r.dist[i]-distM))
						if !(math.Abs(r.per[i]*r.dist[i]-1) < 1e-15) {
							t.Fatalf("sample %d, %g m away: 1/dist %g", i, r.dist[i], r.per[i])
						}
						if border := r.sides[1].across(r.along(sampled.samples[i].along)); i >= 5 && r.high[i] != beside.low[i] ||
							math.Abs(float64(r.high[i])-border-0.5) > 0.501 {
							t.Fatalf("sample %d: border %.12g, posts before %d, neighbour's from %d", i, border, r.high[i], beside.low[i])
						}
					}
				}
			}
			t.Logf("%d runs, at most %.2g posts and %.2g m off", runs, acrossMost, distMostM)
			if !(acrossMost < 1e-3) || !(distMostM < 1e-3*step*metresPerDegree) || runs == 0 {
				t.Errorf("%d runs; samples lie up to %g posts and %g m off the ray", runs, acrossMost, distMostM)
			}
		})
	}
}

// placeFrom places sample i, or its run from there on, and returns the next.
func placeFrom(r *ray, c *crossings, i, n int) int {
	if i < c.even {
		r.place(c, i)
		return i + 1
	}
	u, begin := r.run(c, i, &setting{})
	stop := min(i-begin+placeRun, n)
	r.placeByOne(&u, begin, i, stop)
	return stop
}

// The first whole number from a border on, which belongs to the ray behind it.
func TestAfter(t *testing.T) {
	for x, want := range map[float64]int32{3: 3, 3.2: 4, -0.5: 0, -1: -1, -1.5: -1, 0: 0} {
		if got := after(x); got != want || got != int32(math.Ceil(x)) {
			t.Errorf("after(%g) = %d, want %d", x, got, want)
		}
	}
}
