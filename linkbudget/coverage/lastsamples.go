package coverage

import "math"

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
