package coverage

import "math"

// stand is the wood that a sample is in: so wide along the ray, 0 for none, from a sample on.
type stand struct {
	wideM float32
	from  int32
}

// narrow reports whether the way through it may cost less than that over its tops.
func (s stand) narrow() bool { return s.wideM > 0 && s.wideM <= widestM }

// widestM is from where on it is not looked for: 10 dB and more at 868 MHz.
const widestM = 100

// measure notes how wide a wood is that begins at a sample and ends before another.
func (c *coverRay) measure(dist []float64, from, end int) {
	wide := dist[end] + dist[end-1] - dist[from]
	if from > 0 {
		wide -= dist[from-1]
	}
	for i := from; i < end; i++ {
		c.stands[i] = stand{float32(wide / 2), int32(from)}
	}
}

// passage is a way through one wood and over the rest, to a receiver at sample i: what that wood costs, by
// linkbudget's rule, and the edge of the rest. It is the wood just before the receiver, or the one that is
// steepest as seen from there, backM from the pole, or from the pole. Of the sets of woods that linkbudget tries
// those are the ones of a single wood.
func (c *coverRay) passage(j *judge, r, tall *ray, k, i int, riseM float64, ground, tops farEdge,
	backM float64) (cost float32, past farEdge) {
	g := groundEdge{r.dist[i], riseM*r.per[i] - j.set.curve*r.dist[i], j.set.antennaM, float64(ground.a), float64(ground.b), 0}
	if g.a < 0 {
		g.below = min(math.Sqrt(float64(ground.q)), -clearNu/math.Sqrt(j.perWave*g.distM))
	}
	if c.lanes.nearLanes>>k&1 != 0 {
		if cost := c.nearDB(&g, r, i); cost < infinite {
			return cost, tops
		}
	}
	if tops.a < 0 || i < 2 {
		return infinite, past
	}
	at := r.sampleBefore(i, backM)
	if !(tops.b > ground.b && c.stands[at].narrow()) {
		if at = tall.timI; !(tops.a > ground.a && c.stands[at].narrow()) {
			return infinite, past
		}
	}
	share := 2 * g.under(tall.y[at], r.dist[at]) / float64(c.kinds[at].heightM())
	if !(share > 0) {
		return infinite, past
	}
	past = ground
	for k := range tall.upper.points { // what is left
		p := &tall.upper.points[k]
		rise := p.y - g.antennaM - g.slope*p.x
		if s := c.stands[p.i]; rise >= 0 && !(s.wideM > 0 && s.from == c.stands[at].from) {
			past.a, past.b = max(past.a, float32(rise/p.x)), max(past.b, float32(rise/(g.distM-p.x)))
		}
	}
	return c.s.throughDB(c.stands[at].wideM * float32(min(share, 1))), past
}

// sampleBefore is the sample before another at a distance from the pole.
func (r *ray) sampleBefore(i int, distM float64) int {
	d := r.dist[:i]
	n := min(max(i-1-int((d[i-1]-distM)/(d[i-1]-d[i-2])+0.5), 0), i-1)
	for n+1 < i && d[n+1]-distM <= distM-d[n] {
		n++
	}
	for n > 0 && distM-d[n-1] <= d[n]-distM {
		n--
	}
	return n
}

// groundEdge is the edge of the ground of a path: the slope of the direct ray and those over it, or how far
// below it as a part of sqrt(x y).
type groundEdge struct{ distM, slope, antennaM, a, b, below float64 }

// under is how far what stands up to y at a distance x rises over it.
func (g *groundEdge) under(y, x float64) float64 {
	rise := y - g.antennaM - g.slope*x
	if g.a >= 0 {
		return rise - min(g.a*x, g.b*(g.distM-x))
	}
	return rise + g.below*math.Sqrt(x*(g.distM-x))
}

// nearDB is what the way through the woods among the last samples before a receiver costs. Houses have no way
// through, and of woods that reach farther back it is not looked for.
func (c *coverRay) nearDB(g *groundEdge, r *ray, i int) float32 {
	first := i - nearSamples
	if first < 1 || c.kinds[first].wood() && c.kinds[first-1].wood() {
		return infinite
	}
	for n := first; n < i; n++ {
		x := r.dist[n]
		if rise := r.y[n] - g.antennaM - g.slope*x; rise >= 0 {
			g.a, g.b = max(g.a, rise/x), max(g.b, rise/(g.distM-x))
		}
	}
	cost, depthM := float32(0), 0.0
	for n := first; n < i; n++ {
		at, x := c.kinds[n], r.dist[n]
		if heightM := float64(at.heightM()); at.stands() && g.distM-x >= clearM {
			if over := g.under(r.y[n]+heightM, x); over > 0 {
				if !at.wood() {
					return infinite
				}
				depthM += min(2*over/heightM, 1) * (r.dist[n+1] - r.dist[n-1]) / 2
			}
		}
		if depthM > 0 && (n == i-1 || !c.kinds[n+1].wood()) {
			cost, depthM = cost+c.s.throughDB(float32(depthM)), 0
		}
	}
	return cost
}
