package coverage

// The obstruction of the smooth earth's antenna heights is that of the bare ground, not
// flattened. What stands out of it is a point of the hull of flattened ground, too: a
// straight line that touches the bare ground from above and is flattened with it bends
// down, so that its tangent touches the flattened ground from above at the same point.
// Among the points of that hull a search goes uphill. Other points stand in between, so
// that it may end at a lower top, which matters little: see the test of coverages against
// single paths.

// bareTangent returns the largest slope from (x, top) back to the bare ground of a point,
// where c x² was taken off it. It starts where the last tangent ended.
func (u *hull) bareTangent(x, top, c float64) float64 {
	p := u.points
	k := min(u.seen, len(p)-1)
	rise, run := p[k].y+c*p[k].x*p[k].x-top, x-p[k].x
	start := k
	for k > 0 && start-k <= nearSteps {
		q := &p[k-1]
		r, w := q.y+c*q.x*q.x-top, x-q.x
		if r*run <= rise*w {
			break
		}
		k, rise, run = k-1, r, w
	}
	if k == start {
		for k+1 < len(p) && k-start <= nearSteps {
			q := &p[k+1]
			r, w := q.y+c*q.x*q.x-top, x-q.x
			if r*run <= rise*w {
				break
			}
			k, rise, run = k+1, r, w
		}
	}
	if steps := k - start; steps > nearSteps || -steps > nearSteps {
		return u.bareTangentFrom(k, sign(steps), x, top, c)
	}
	return rise / run
}

// bareTangentFrom goes on from point k in a direction; apart, so that bareTangent keeps
// its numbers in registers.
//
//go:noinline
func (u *hull) bareTangentFrom(k, direction int, x, top, c float64) float64 {
	q := &u.points[u.gallop(k, direction, func(a, b *hullPoint) bool {
		return (b.y+c*b.x*b.x-top)*(x-a.x) > (a.y+c*a.x*a.x-top)*(x-b.x)
	})]
	return (q.y + c*q.x*q.x - top) / (x - q.x)
}

// bareHighest returns the largest height of such ground over a line of that slope
// through 0. It starts where the last such search ended.
func (u *hull) bareHighest(slope, c float64) float64 {
	p := u.points
	k := min(u.bareHigh, len(p)-1)
	at := p[k].y - p[k].x*(slope-c*p[k].x)
	start := k
	for k > 0 && start-k <= nearSteps {
		q := &p[k-1]
		h := q.y - q.x*(slope-c*q.x)
		if h <= at {
			break
		}
		k, at = k-1, h
	}
	if k == start {
		for k+1 < len(p) && k-start <= nearSteps {
			q := &p[k+1]
			h := q.y - q.x*(slope-c*q.x)
			if h <= at {
				break
			}
			k, at = k+1, h
		}
	}
	if steps := k - start; steps > nearSteps || -steps > nearSteps {
		return u.bareHighestFrom(k, sign(steps), slope, c)
	}
	u.bareHigh = k
	return at
}

// bareHighestFrom goes on from point k in a direction; apart as bareTangentFrom is.
//
//go:noinline
func (u *hull) bareHighestFrom(k, direction int, slope, c float64) float64 {
	u.bareHigh = u.gallop(k, direction, func(a, b *hullPoint) bool {
		return b.y-b.x*(slope-c*b.x) > a.y-a.x*(slope-c*a.x)
	})
	q := &u.points[u.bareHigh]
	return q.y - q.x*(slope-c*q.x)
}

func sign(n int) int {
	if n < 0 {
		return -1
	}
	return 1
}
