package coverage

import "math"

// ray carries along what every place on it needs to know of the ground before
// it. Index i is a sample; the pole itself is not among them. A receiver behind
// sample i sees the samples 0 to i as the inner points of its path.
//
// Heights are flattened by the curvature of the earth, y = h - d²/(2 ae), so
// that no bulge depends on where the receiver stands: a straight line in the
// real frame stays one, and the sum of its two slopes does not change.
type ray struct {
	n     int // samples laid out
	known int // samples before the first without a known height

	// Half-long numbers where millimetres and micro-slopes do not matter: a ray
	// must fit the processor's cache.
	cross []float64 // position across the axis
	dist  []float32 // distance from the pole, m
	h, y  []float32 // height, m; flattened height

	tim   []float32 // steepest slope from the pole's antenna to y, so far
	timAt []int32
	obt   []float32 // steepest slope to h, so far
	// Sums of P.1812-6 eq 85-86 up to the sample, heights over the pole's ground.
	v1, v2 []float64

	upper, bare hull // of y and of h
	azimuthDeg  float64
	backTurn    float64 // turn of the azimuth for a step along the axis, degrees
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
	doubles, singles := make([]float64, 3*capacity), make([]float32, 5*capacity)
	r := &ray{timAt: make([]int32, capacity), upper: newHull(capacity), bare: newHull(capacity)}
	for i, p := range []*[]float64{&r.cross, &r.v1, &r.v2} {
		*p = doubles[i*capacity : (i+1)*capacity : (i+1)*capacity]
	}
	for i, p := range []*[]float32{&r.dist, &r.h, &r.y, &r.tim, &r.obt} {
		*p = singles[i*capacity : (i+1)*capacity : (i+1)*capacity]
	}
	return r
}

// build follows ray k of the comb's quadrant.
func (r *ray) build(f *fan, c *comb, k int, set *setting) {
	ray := f.curve(c.q, k)
	r.azimuthDeg, r.backTurn = ray.azimuthDeg, ray.convergeDeg/ray.perS
	r.layOut(f.w, c, &ray, set)
	r.sample(c)
	if set.fillM > 0 {
		r.fill(set.fillM)
	}
	r.carry(set)
}

// layOut finds where the samples lie, up to the radius or the end of the cells;
// none for a ray that passes all cells by.
func (r *ray) layOut(w *window, c *comb, ray *curve, set *setting) {
	r.n = 0
	if len(c.teeth) == 0 {
		return
	}
	across := w.cellsAcross(c.q)
	low, high := across.low-set.margin, across.high+set.margin
	end, _ := ray.at(c.teeth[len(c.teeth)-1].along)
	if begin, _ := ray.at(c.cellsFrom); begin < low && end < low || begin > high && end > high {
		return
	}
	// A ray that goes outwards has no more cells before it once it is beyond
	// them; one that comes from the side has them still to come.
	if end < ray.from {
		high = math.Inf(1)
	} else {
		low = math.Inf(-1)
	}
	for i := range c.teeth {
		cross, distM := ray.at(c.teeth[i].along)
		if distM > set.reachM || cross < low || cross > high {
			break
		}
		r.cross[i], r.dist[i] = cross, float32(distM)
		r.n++
	}
}

// sample finds the heights.
func (r *ray) sample(c *comb) {
	r.known = r.n
	for i, x := range r.cross[:r.n] {
		z := c.height(&c.teeth[i], x)
		r.h[i] = float32(z)
		if z != z && i < r.known {
			r.known = i
		}
	}
}

// fill interpolates over stretches without height between known samples at most
// longestM apart, the rule of [terrain.ProfileOptions].
func (r *ray) fill(longestM float64) {
	for i := r.known; i < r.n; {
		if r.h[i] == r.h[i] {
			i++
			continue
		}
		end := i + 1
		for end < r.n && r.h[end] != r.h[end] {
			end++
		}
		if i == 0 || end == r.n || float64(r.dist[end]-r.dist[i-1]) > longestM {
			break
		}
		perM := (r.h[end] - r.h[i-1]) / (r.dist[end] - r.dist[i-1])
		for j := i; j < end; j++ {
			r.h[j] = r.h[i-1] + perM*(r.dist[j]-r.dist[i-1])
		}
		i = end
		r.known = i
	}
	for r.known < r.n && r.h[r.known] == r.h[r.known] {
		r.known++
	}
}

// carry fills all that is carried along, one step a sample.
func (r *ray) carry(set *setting) {
	tim, obt := math.Inf(-1), math.Inf(-1)
	timAt := int32(0)
	var v1, v2, d0, h0 float64
	for i := range r.known {
		d, h := float64(r.dist[i]), float64(r.h[i])
		y := h - set.curve*d*d
		r.y[i] = float32(y)
		inverse := 1 / d
		if s := (y - set.antennaM) * inverse; s > tim {
			tim, timAt = s, int32(i)
		}
		obt = max(obt, (h-set.antennaM)*inverse)
		r.tim[i], r.timAt[i], r.obt[i] = float32(tim), timAt, float32(obt)
		over, gap := h-set.groundM, d-d0
		v1 += gap * (over + h0)
		v2 += gap * (over*(2*d+d0) + h0*(d+2*d0))
		r.v1[i], r.v2[i] = v1, v2
		d0, h0 = d, over
		r.upper.push(r.dist, r.y, int32(i))
		r.bare.push(r.dist, r.h, int32(i))
	}
}
