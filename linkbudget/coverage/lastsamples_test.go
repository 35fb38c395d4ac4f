package coverage

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// The last samples of a cell, found by even steps in single precision, are those that
// its own path has, place by place and height by height.
func TestNearGroundIsThatOfTheCellsOwnPath(t *testing.T) {
	s := roughSweep(t)
	w, compared := s.newWorker(), 0
	for number := range quadrants {
		c := &w.crossings[number]
		ground := posts{c.h, placesOf(int32(c.across)), placesOf(int32(c.sign * c.along))}
		if !c.lined {
			t.Fatalf("quadrant %d has samples between lines", number)
		}
		for p := -500; p <= 500; p += 9 {
			r := w.ray
			r.carried.reset()
			r.aim(s.rays, c, 0, p)
			r.layOut(s.window, c, 0, 0, len(c.samples), &s.judge.set)
			for i := range r.n {
				crossing := &c.samples[i]
				for x := int(r.low[i]); x < int(r.high[i]) && crossing.plain && x >= c.cells.low && x < c.cells.high; x++ {
					distM := r.beside(c, i, float64(x))
					topM := float64(c.h[crossing.base+x*c.across]) + 2
					var want, got lanes
					if !want.nearAnywhere(0, r, c, i, float64(x), distM, topM) {
						t.Fatal("there are no voids")
					}
					across, part := r.lastStep(i)
					got.rise[0], got.d[0] = float32(topM-s.judge.set.antennaM), float32(distM)
					got.nearLater(0, crossing.base+x*c.across, across+(float64(x)-r.cross[i])*part, part)
					s.judge.constants.near(&got, &ground, 0)
					for m := range nearSamples {
						// nearAnywhere has the farthest first. Heights jump by 200 m from post to post.
						h, d := want.nearH[nearSamples-1-m][0]-got.nearH[m][0], want.nearR[nearSamples-1-m][0]-got.nearR[m][0]
						if !(math.Abs(float64(h)) <= 0.05 && math.Abs(float64(d)) <= 0.01) {
							t.Fatalf("quadrant %d, ray %d, sample %d, x %d, %d lines before: off by %v m in height, %v m in place", number,
								p, i, x, m+1, h, d)
						}
					}
					compared++
				}
			}
		}
	}
	if compared < 30000 {
		t.Errorf("only %d cells compared", compared)
	}
}

// No path strays farther over its near samples: not where posts are half as long again
// as they are wide, or half as wide again as they are long, not with the largest radius,
// and not at the highest latitude for that.
func TestNoPathStraysFartherThanMostDrift(t *testing.T) {
	most := 0.0
	for _, latDeg := range []float64{36, 80, 83.25, -83.25} {
		for _, aspect := range []float64{1 / 1.499, 1.499} {
			const stepDeg, radiusM = 49.9 / metresPerDegree, MaxRadiusM
			lonDeg := stepDeg * aspect / math.Cos(latDeg*math.Pi/180)
			at := orb.Point{12.0003, latDeg}
			e := terrain.Extent{Bound: orb.Bound{Min: orb.Point{-100, -90}, Max: orb.Point{120, 90}}, StepLonDeg: lonDeg,
				StepLatDeg: stepDeg}
			w, err := newWindow(at, e, Options{RadiusM: radiusM, MemoryBytes: 1 << 40}) // laid out only
			if err != nil {
				t.Fatal(err)
			}
			f := newBundle(w, at)
			steps := (&sweep{window: w, rays: f}).steps()
			for number, q := range quadrants {
				step := steps[0]
				if q.alongRows {
					step = steps[1]
				}
				c := f.newCrossings(number, step)
				r, half := newRay(len(c.samples)), int(f.half(q))
				for p := -half; p <= half && c.lined; p += half / 20 {
					r.aim(f, &c, 0, p)
					for i := 0; i < len(c.samples); {
						i = placeFrom(r, &c, i, len(c.samples))
					}
					for i, crossing := range c.samples {
						if crossing.plain && r.dist[i] <= radiusM {
							across, part := r.lastStep(i)
							most = max(most, nearSamples*(math.Abs(across)+part)) // a cell lies less than a post beside the ray
						}
					}
				}
			}
		}
	}
	t.Logf("up to %.2f posts", most)
	if !(most < mostDrift && most > mostDrift/2) {
		t.Errorf("up to %.2f posts, allowed %d", most, mostDrift)
	}
}

// roughSweep has posts every second of arc whose heights jump by up to 200 m.
func roughSweep(t *testing.T) *sweep {
	t.Helper()
	const n = 1201
	rng := rand.New(rand.NewPCG(3, 9))
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 40, StepLonDeg: 1.0 / 3600, StepLatDeg: 1.0 / 3600, Cols: n, Rows: n},
		HeightM: make([]float32, n*n),
	}
	for i := range g.HeightM {
		g.HeightM[i] = float32(800 + rng.IntN(200))
	}
	at := orb.Point{10.15, 39.86}
	s, err := newSweep(context.Background(), linkbudget.DefaultStation("pole", 10), at, g, Options{
		RadiusM: 20e3, Receiver: linkbudget.DefaultStation("receiver", 2),
		Environment: linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}},
	})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A cell lies as far from the pole, and from its horizon beyond the last samples, where
// its near ground is found at once as where it is found later, with that of others.
func TestFarHorizonOfACellEitherWay(t *testing.T) {
	s := roughSweep(t)
	w, compared, most := s.newWorker(), 0, 0.0
	for number := range quadrants {
		c := &w.crossings[number]
		w.posts = posts{c.h, placesOf(int32(c.across)), placesOf(int32(c.sign * c.along))}
		for p := -500; p <= 500; p += 49 {
			r := w.ray
			r.carried.reset()
			r.aim(s.rays, c, 0, p)
			r.layOut(s.window, c, 0, 0, len(c.samples), &s.judge.set)
			r.fill(c, 0, &s.judge.set)
			r.fit(0, &s.judge.set)
			for i := range r.n {
				if c.samples[i].plain && r.dist[i] < w.sureM && int(r.low[i]) >= c.cells.low && int(r.high[i]) <= c.cells.high {
					var ways [2]lanes
					var cells [2]int
					for way := range ways {
						w.waiting = 0
						if way == 0 {
							w.addLine(c, i, false)
						} else {
							for x := r.low[i]; x < r.high[i]; x++ {
								w.addChecked(c, i, int(x), false)
							}
						}
						ways[way], cells[way] = w.lanes, w.waiting
						s.judge.constants.nearByOne(&ways[way], &w.posts, w.waiting)
					}
					if cells[0] != cells[1] || cells[0] != int(r.high[i]-r.low[i]) {
						t.Fatalf("quadrant %d, ray %d, sample %d: %d cells", number, p, i, cells)
					}
					later, once := &ways[0], &ways[1]
					for k := range cells[0] {
						if later.post[k] < 0 || once.post[k] >= 0 {
							t.Fatalf("quadrant %d, ray %d, sample %d: posts %d and %d", number, p, i, later.post[k], once.post[k])
						}
						if !(math.Abs(float64(once.d[k]-later.d[k])) <= 0.01 && math.Abs(float64(once.farR[k]-later.farR[k])) <= 0.01) {
							t.Fatalf("quadrant %d, ray %d, sample %d: %v m and %v m from the pole, %v m and %v m from the horizon",
								number, p, i, once.d[k], later.d[k], once.farR[k], later.farR[k])
						}
						most = max(most, math.Abs(float64(once.d[k])-r.dist[i]))
						compared++
					}
				}
				r.pass(i, &s.judge.set)
			}
		}
	}
	if compared < 3000 || most < 5 {
		t.Errorf("only %d cells compared, at most %.1f m farther than the ray", compared, most)
	}
}
