package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget/diffraction"
)

// ray follows the ground outwards from the pole and carries along what every
// place on it needs to know of the ground before it. Index i is a sample; the
// pole itself is not among them. A receiver at sample i sees the samples before
// it as the inner points of its path.
//
// Heights are flattened by the curvature of the earth, y = h - d²/(2 ae), so
// that no bulge depends on where the receiver stands: a straight line in the
// real frame stays one, and the sum of its two slopes does not change.
type ray struct {
	curve
	sides    [2]curve // half way to the rays beside it
	backTurn float64  // turn of the azimuth for a step along the axis, degrees
	spacing  float64  // from ray to ray, in posts for each post along the axis

	// The samples. Those before the ray's own first are of the ray that it comes
	// from.
	cross, dist []float64 // position across the axis; distance from the pole, m
	per         []float64 // 1/dist
	low, high   []int32   // the first post across the axis to which the ray is the nearest one, and the first after
	h, y        []float64 // height, m; flattened height
	fits        []fit     // the fitted line's, before the sample itself
	tops, roofs []float64 // highest y of each block of samples, and of each roof over blocks
	levelFrom   []int32   // for each block of level ground the first of its height in a row, else -1; nil over a cover
	n           int       // samples laid out
	gaps        bool      // whether some of those have no height
	landA       landMemo  // of A's horizon
	landB       landMemo  // of B's

	carried
}

// carried is what a ray carries, up to the last sample.
type carried struct {
	known     int // samples before the first without a known height
	lastKnown int // the last sample whose height is not filled in
	added     int // samples taken in

	// These stop nearSamples short of the last sample: see near.
	sums
	obt       float64 // steepest slope from the pole's antenna to h
	tim, timD float64 // steepest slope from the pole's antenna to y, and where
	timI      int     // the sample there
	level     bool    // whether some of the samples lie level
	upper     skyline // of y
	boundary
}

// sums are those of the bare ground up to a sample, see fit.
type sums struct {
	over, d float64 // the sample over the pole's ground, m, and its distance, m
	v1, v2  float64 // P.1812-6 eq 85-86, m² and m³
}

func (a *carried) reset() {
	a.known, a.lastKnown, a.added = 0, -1, 0
	a.sums = sums{}
	a.tim, a.timD, a.timI, a.obt, a.level = math.Inf(-1), 0, 0, math.Inf(-1), false
	a.upper.reset()
	a.boundary = boundary{}
}

// set makes a copy of the other.
func (a *carried) set(other *carried) {
	upper := a.upper
	*a = *other
	upper.set(&other.upper)
	a.upper = upper
}

// setting is what building rays needs beside the ground.
type setting struct {
	groundM, antennaM float64 // at the pole, above the datum
	curve             float64 // 1/(2 ae)
	fillM             float64
	reachM            float64 // up to which rays are followed
	margin            float64 // posts beside the cells that a ray may pass at
}

func newRay(capacity int) *ray {
	capacity += len(vector{}) // a vector may reach past the end
	all := make([]float64, 5*capacity)
	r := &ray{low: make([]int32, capacity), high: make([]int32, capacity), fits: make([]fit, capacity),
		tops: make([]float64, capacity/blockSize+1), levelFrom: make([]int32, capacity/blockSize+1),
		roofs: make([]float64, capacity/roofSize+1)}
	for i, p := range []*[]float64{&r.cross, &r.dist, &r.per, &r.h, &r.y} {
		*p = all[i*capacity : (i+1)*capacity : (i+1)*capacity]
	}
	return r
}

// aim turns the ray to ray p of a level.
func (r *ray) aim(f *bundle, c *crossings, level, p int) {
	r.curve = f.curve(c.number, place(level, p))
	for i := range r.sides {
		r.sides[i] = f.curve(c.number, place(level, p)+(float64(i)-0.5)*float64(int(1)<<level))
	}
	r.backTurn = r.convergeDeg / r.perS
	r.spacing = float64(int(1)<<level) / (math.Abs(r.perS) * float64(f.perPost))
}

// passes reports whether the ray, and all that it forks into, passes all cells by.
func (r *ray) passes(w *window, c *crossings, level int, set *setting) bool {
	if len(c.samples) == 0 {
		return true
	}
	across := w.cellsAcross(c.q)
	wide := 1 + r.spacing*math.Abs(r.perS)
	low, high := across.low-set.margin-wide, across.high+set.margin+wide
	end, begin := r.across(r.along(c.samples[len(c.samples)-1].along)), r.across(r.along(c.cellsFrom))
	return begin < low && end < low || begin > high && end > high
}

// layOut finds where the samples from one up to an end lie, and their heights: up to the
// radius or the end of the cells. first is nearSamples before it where the ray is another than before.
func (r *ray) layOut(w *window, c *crossings, first, from, end int, set *setting) {
	r.n, r.landA, r.landB = from, landMemo{}, landMemo{}
	low, high := r.passage(w, c, set)
	r.gaps = false
	old := [nearSamples]float64{}
	copy(old[:], r.h[first:from])
	for i := first; i < end; {
		stop, plain, unknown := i+1, false, false
		if i < c.even {
			r.place(c, i)
		} else {
			u, begin := r.run(c, i, set)
			stop, plain = min(i-begin+placeRun, end), u.plain
			if plain {
				unknown = r.sample(&u, begin, i, stop)
			} else {
				r.placeByOne(&u, begin, i, stop)
			}
		}
		// Nearly every run lies within the area, with all its heights known.
		if near, far := r.cross[i], r.cross[stop-1]; !plain || unknown || r.dist[stop-1] > set.reachM ||
			min(near, far) < low || max(near, far) > high {
			for ; i < stop; i++ {
				cross, distM := r.cross[i], r.dist[i]
				if i >= from {
					if distM > set.reachM || cross < low || cross > high {
						return
					}
					r.n = i + 1
				}
				z := c.height(&c.samples[i], cross)
				if z != z {
					if i < from {
						z = old[i-first] // filled in, or that of the ray it comes from
					}
					r.gaps = r.gaps || z != z
				}
				r.h[i], r.y[i] = z, z-set.curve*distM*distM
			}
		}
		i, r.n = stop, max(r.n, stop)
	}
}

// passage is where the ray has cells, or has them still to come.
func (r *ray) passage(w *window, c *crossings, set *setting) (low, high float64) {
	across := w.cellsAcross(c.q)
	low, high = across.low-set.margin-1, across.high+set.margin+1
	if last := r.across(r.along(c.samples[len(c.samples)-1].along)); last < r.from {
		return low, math.Inf(1)
	}
	return math.Inf(-1), high
}

// fill interpolates over stretches without height between known samples at most
// longestM apart, the rule of [terrain.ProfileOptions], and counts what is known
// without a gap. Beyond the samples laid out it looks for the end of a stretch.
func (r *ray) fill(c *crossings, from int, set *setting) {
	if r.known == from && !r.gaps {
		r.lastKnown, r.known = max(r.lastKnown, r.n-1), max(r.known, r.n)
		return
	}
	for i := from; i < r.n && r.known == i; {
		if r.h[i] == r.h[i] {
			r.lastKnown, r.known = i, i+1
			i++
			continue
		}
		if set.fillM <= 0 || r.lastKnown < 0 {
			return
		}
		end, endH, endD := i+1, math.NaN(), 0.0
		for ; end < len(c.samples); end++ {
			if end < r.n {
				endH, endD = r.h[end], r.dist[end]
			} else {
				var cross float64
				cross, endD = r.at(r.along(c.samples[end].along))
				endH = c.height(&c.samples[end], cross)
			}
			if endH == endH || endD-r.dist[r.lastKnown] > set.fillM {
				break
			}
		}
		if endH != endH || endD-r.dist[r.lastKnown] > set.fillM {
			return
		}
		perM := (endH - r.h[r.lastKnown]) / (endD - r.dist[r.lastKnown])
		for ; i < min(end, r.n); i++ {
			r.h[i] = r.h[r.lastKnown] + perM*(r.dist[i]-r.dist[r.lastKnown])
			r.y[i] = r.h[i] - set.curve*r.dist[i]*r.dist[i]
		}
		r.known = i
	}
}

// pass goes on from sample i: the last of those before the near ground of the next
// receivers is carried from now on, and all before it.
func (r *ray) pass(i int, set *setting) {
	for last := min(i-nearSamples, r.known-1); r.added <= last; r.added++ {
		r.add(r.added, set)
	}
}

// add takes sample i into what is carried for receivers, which have near ground of their
// own.
func (r *ray) add(i int, set *setting) {
	d, h, y := r.dist[i], r.h[i], r.y[i]
	if rise := h - set.antennaM; rise > r.obt*d {
		r.obt = rise / d
	}
	r.rise(d, y, i, set)
	if i > 0 && math.Abs(h-r.h[i-1]) < diffraction.LevelGroundM {
		r.level = true
	}
	r.upper.push(d, y, h-set.antennaM, i)
}

// rise takes the flattened ground at sample i as A's horizon, if it is one.
func (a *carried) rise(d, y float64, i int, set *setting) {
	if rise := y - set.antennaM; rise > a.tim*d {
		a.tim, a.timD, a.timI = rise/d, d, i
	}
}

// beside returns the distance of a place on the line of sample i, across the axis
// at x: by Pythagoras, as it lies within half a post of the ray.
func (r *ray) beside(c *crossings, i int, x float64) float64 {
	d, at := r.dist[i], r.cross[i]-r.from
	to := x - r.from
	return math.Sqrt(d*d + c.width2[i]*(to*to-at*at))
}
