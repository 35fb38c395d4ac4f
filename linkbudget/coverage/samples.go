package coverage

import "math"

// run is a stretch of samples that are equally far from one another, and where they
// lie, counted from its first, on parabolas through three of them.
type run struct {
	cross, dist parabola // across the axis; from the pole, m
	low, high   parabola // the borders to the rays beside it
	curve       float64  // of the setting

	// Heights, where plain says that all samples lie on lines of posts, far from the
	// edges of the window. The first sample lies on the line that begins at post.
	h                  []float32
	post, line, across int32
	plain              bool
}

// run returns the run in which sample i lies, and its number there. Runs begin at the
// same samples for all rays, so that neighbours find the same border between them.
func (r *ray) run(c *crossings, i int, set *setting) (u run, begin int) {
	begin = (i - c.even) % placeRun
	s0, half := r.along(c.samples[i-begin].along), c.evenStep*halfRun/r.perS
	s1, s2 := s0+half, s0+2*half
	cross0, dist0 := r.at(s0)
	cross1, dist1 := r.at(s1)
	cross2, dist2 := r.at(s2)
	u.cross, u.dist = parabolaOf(cross0, cross1, cross2), parabolaOf(dist0, dist1, dist2)
	u.low = parabolaOf(r.sides[0].across(s0), r.sides[0].across(s1), r.sides[0].across(s2))
	u.high = parabolaOf(r.sides[1].across(s0), r.sides[1].across(s1), r.sides[1].across(s2))
	last := min(i-begin+placeRun, len(c.samples)) - 1
	// A vector may reach three lines past the last.
	past := c.samples[last].line + 3*c.sign
	u.plain = c.lined && math.Abs(cross2-cross0) < mostDrift/3*placeRun && c.samples[i].base >= 0 &&
		c.samples[last].base >= 0 && past >= 0 && past < c.lines &&
		min(cross0, cross1, cross2) >= mostDrift && max(cross0, cross1, cross2) < float64(c.width-mostDrift-1)
	if u.plain {
		u.curve, u.h, u.line, u.across = set.curve, c.h, int32(c.sign*c.along), int32(c.across)
		u.post = int32(c.samples[i].base) - u.line*int32(begin)
	}
	return u, begin
}

// placeByOne places samples from i on, up to stop; the first is number k of the run.
func (r *ray) placeByOne(u *run, k, i, stop int) {
	crosses := r.cross[i:stop]
	n := len(crosses)
	dists, pers, lows, highs := r.dist[i:][:n], r.per[i:][:n], r.low[i:][:n], r.high[i:][:n]
	at := float64(k)
	for m := range crosses {
		d := u.dist.at(at)
		crosses[m], dists[m], pers[m] = u.cross.at(at), d, 1/d
		lows[m], highs[m] = after(u.low.at(at)), after(u.high.at(at))
		at++
	}
}

// sampleByOne does so and finds the heights there, of a plain run. It reports whether one
// is unknown.
func (r *ray) sampleByOne(u *run, k, i, stop int) (unknown bool) {
	r.placeByOne(u, k, i, stop)
	for ; i < stop; i++ {
		x, d := r.cross[i], r.dist[i]
		j := int32(x)
		p := u.post + u.line*int32(k) + j*u.across
		a := float64(u.h[p])
		z := a + (float64(u.h[p+u.across])-a)*(x-float64(j))
		r.h[i], r.y[i] = z, z-u.curve*d*d
		unknown = unknown || z != z
		k++
	}
	return unknown
}

// after returns the first whole number from x on.
func after(x float64) int32 {
	n := int32(x)
	if float64(n) < x {
		n++
	}
	return n
}

// placeRun samples are placed at a time, where they are equally far from one another
// and many.
const (
	placeRun   = 16
	evenFrom   = 1.0 / 256 // of the ray, from one sample to the next
	halfRun    = placeRun / 2
	perHalfRun = 1.0 / halfRun
)

// place finds where sample i lies, and to which posts the ray is the nearest one.
func (r *ray) place(c *crossings, i int) {
	s := r.along(c.samples[i].along)
	cross, distM := r.at(s)
	r.cross[i], r.dist[i], r.per[i] = cross, distM, 1/distM
	r.low[i], r.high[i] = after(r.sides[0].across(s)), after(r.sides[1].across(s))
}

// parabola is a number at the samples of a run, counted from its first.
type parabola struct{ a, b, c float64 }

// parabolaOf goes through three of them, halfRun apart.
func parabolaOf(v0, v1, v2 float64) parabola {
	c := (v0 - 2*v1 + v2) * (perHalfRun * perHalfRun / 2)
	return parabola{v0, (v1-v0)*perHalfRun - halfRun*c, c}
}

func (p *parabola) at(k float64) float64 { return p.a + k*(p.b+k*p.c) }

// nearSamples is how many samples before the receiver are looked at on the
// cell's own path. So close, half a post to the side is a large part of the way,
// and the ground of the rays beside it would not do.
const nearSamples = 3

// noGround is a height that decides nothing.
const noGround = -1e6

// posts are the heights under the cells of the lanes and before them, all known: those of
// a quadrant.
type posts struct {
	h            []float32
	across, back places // in h, to the next post across the axis; to the line before, as seen from the pole
}

// near finds the distance of a lane and the last samples on its own path, on the lines of
// posts before B: their heights over B's antenna, and how far before it they are. So close
// the path is straight and the lines are equally far apart.
func (s *constants) near(l *lanes, g *posts, i int) {
	d := root(l.d[i]*l.d[i] + l.beside[i])
	l.farR[i] += d - l.d[i]
	l.d[i] = d
	part := d * l.part[i]
	post := l.post[i]
	if post < 0 {
		return
	}
	for m := range int32(nearSamples) {
		lines := float32(m + 1)
		to := 0 - l.drift[i]*lines
		left := float32(math.Floor(float64(to)))
		p := post - g.back[0]*(m+1) + int32(left)*g.across[0]
		a := g.h[p]
		a += (g.h[p+g.across[0]] - a) * (to - left)
		l.nearH[m][i] = a - s.antennaM[0] - l.rise[i]
		l.nearR[m][i] = part * lines
	}
}

// nearLater tells where the last samples before lane k are: its post, the drift of its path
// from line to line and the part of its distance.
func (l *lanes) nearLater(k, post int, drift, part float64) {
	l.post[k], l.drift[k], l.part[k] = int32(post), float32(drift), float32(part)
}

// lastStep is the step of a ray to sample i: across the axis, and as a part of the
// distance. A path beside the ray by some posts drifts by as many of that part more.
func (r *ray) lastStep(i int) (across, part float64) {
	return r.cross[i] - r.cross[i-1], 1 - r.dist[i-1]*r.per[i]
}

// mostDrift bounds, in posts, how far the path strays over all near samples: farther than
// that from the window's edges no look at the posts needs a check.
const mostDrift = 10

// straysLittle reports whether paths beside sample i, by less than a post, keep to mostDrift.
func (r *ray) straysLittle(i int) bool {
	across, part := r.lastStep(i)
	return nearSamples*(math.Abs(across)+part) < mostDrift
}

// nearAnywhere is near also where samples are few, between lines, at the window's
// edge or without a height: for the cell of lane k beside sample i of the ray, at the
// position x across the axis, its antenna at topM. It reports whether all are known.
func (l *lanes) nearAnywhere(k int, r *ray, c *crossings, i int, x, distM, topM float64) bool {
	l.post[k] = -1
	first := max(i-nearSamples, 0)
	aside, per, known := x-r.cross[i], r.per[i], true
	samples, cross, dist := c.samples[first:i], r.cross[first:i], r.dist[first:i]
	for m := len(samples); m < nearSamples; m++ {
		l.nearH[m][k], l.nearR[m][k] = noGround, float32(distM/2)
	}
	for m := range samples {
		share := dist[m] * per
		at := cross[m] + aside*share
		h := c.height(&samples[m], at)
		if h != h {
			h = r.h[first+m] // filled in, or the ground of the ray
		}
		known = known && h == h
		l.nearH[m][k], l.nearR[m][k] = float32(h-topM), float32(distM-distM*share)
	}
	return known
}
