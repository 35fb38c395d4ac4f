package coverage

// hull is the upper hull of the points added so far, nearest to the pole first.
// As points come in the order of their distance, it is a stack: what a new point
// hides is popped.
//
// Searches start where the last one of the kind ended. From one receiver to the
// next along a ray little changes, so that nearly all end there too; where the
// hull is long, as over smooth ground, they gallop.
type hull struct {
	points   []hullPoint
	bare     bareGround
	seen     int // where the last tangent was found
	bareHigh int // where the last highest point of the bare ground was
}

type hullPoint struct {
	x, y float64
	i    int // number of the sample
}

// push adds point i, the farthest so far, whose bare ground is overM above the pole's
// antenna.
func (u *hull) push(x, y, overM float64, i int) {
	p := u.points
	n := len(p)
	for n >= 2 {
		a, b := &p[n-2], &p[n-1]
		if (b.y-a.y)*(x-a.x) > (y-a.y)*(b.x-a.x) {
			break
		}
		n--
	}
	if n == cap(p) {
		p = append(p[:n], hullPoint{})
	}
	p = p[:n+1]
	q := &p[n]
	q.x, q.y, q.i = x, y, i
	u.points = p
	u.bare.put(n, x, overM)
}

// set makes u a copy of the other.
func (u *hull) set(other *hull) {
	u.points = append(u.points[:0], other.points...)
	u.bare.set(&other.bare, len(u.points))
	u.seen, u.bareHigh = other.seen, other.bareHigh
}

func (u *hull) reset() { u.points, u.seen, u.bareHigh = u.points[:0], 0, 0 }

// tangent returns the point that stands highest as seen from (x, y), beyond them
// all: the largest (yi - y)/(x - xi), and that slope. Along the hull it rises up
// to that point and falls after it.
func (u *hull) tangent(x, y float64) (*hullPoint, float64) {
	p := u.points
	k := min(u.seen, len(p)-1)
	rise, run := p[k].y-y, x-p[k].x
	start := k
	for k > 0 {
		r, w := p[k-1].y-y, x-p[k-1].x
		if r*run <= rise*w {
			break
		}
		k, rise, run = k-1, r, w
		if start-k > nearSteps {
			k = u.gallop(k, -1, func(a, b *hullPoint) bool { return (b.y-y)*(x-a.x) > (a.y-y)*(x-b.x) })
			rise, run = p[k].y-y, x-p[k].x
			break
		}
	}
	if k == start {
		for k+1 < len(p) {
			r, w := p[k+1].y-y, x-p[k+1].x
			if r*run < rise*w {
				break
			}
			k, rise, run = k+1, r, w
			if k-start > nearSteps {
				k = u.gallop(k, 1, func(a, b *hullPoint) bool { return (b.y-y)*(x-a.x) >= (a.y-y)*(x-b.x) })
				rise, run = p[k].y-y, x-p[k].x
				break
			}
		}
	}
	u.seen = k
	return &p[k], rise / run
}

// nearSteps are walked before a search gallops: nearly all end before.
const nearSteps = 8

// gallop goes on from point k in a direction while the next point is better,
// which it is up to the best one and never after: with doubled steps, then by
// halving. better(a, b) says so of b against its neighbour a.
func (u *hull) gallop(k, direction int, better func(a, b *hullPoint) bool) int {
	p := u.points
	uphill := func(k int) bool { // from k on
		next := k + direction
		return next >= 0 && next < len(p) && better(&p[k], &p[next])
	}
	step := 1
	for uphill(k) {
		next := k + direction*step
		if next < 0 || next >= len(p) || !uphill(next-direction) {
			break
		}
		k = next
		step *= 2
	}
	// The best one lies from k up to the next step.
	low, high := 0, len(p)-1-k
	if direction < 0 {
		high = k
	}
	high = min(high, step)
	for low < high {
		mid := (low + high) / 2
		if uphill(k + direction*mid) {
			low = mid + 1
		} else {
			high = mid
		}
	}
	return k + direction*low
}
