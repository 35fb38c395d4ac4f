package coverage

// The hull is that of flattened ground. On one too long for a look at every point, the tops
// of the bare ground are looked for by going uphill from point to point. Other points may
// stand in between, so that the search may end at a lower top: seldom, and by little where
// neighbours hardly differ.

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
// through 0. The earth's curve takes most off the middle of a path, so that there may be
// two tops, one towards either end: it goes uphill from where the last tangent ended, and
// from where the last such search did.
func (u *hull) bareHighest(slope, c float64) float64 {
	k, at := u.bareUphill(min(u.bareHigh, len(u.points)-1), slope, c)
	if other := min(u.seen, len(u.points)-1); other != k {
		if n, h := u.bareUphill(other, slope, c); h > at {
			k, at = n, h
		}
	}
	u.bareHigh = k
	return at
}

// bareUphill returns the top that is reached from point k.
func (u *hull) bareUphill(k int, slope, c float64) (top int, at float64) {
	p := u.points
	at = p[k].y - p[k].x*(slope-c*p[k].x)
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
		return u.bareUphillFrom(k, sign(steps), slope, c)
	}
	return k, at
}

// bareUphillFrom goes on from point k in a direction; apart as bareTangentFrom is.
//
//go:noinline
func (u *hull) bareUphillFrom(k, direction int, slope, c float64) (top int, at float64) {
	top = u.gallop(k, direction, func(a, b *hullPoint) bool {
		return b.y-b.x*(slope-c*b.x) > a.y-a.x*(slope-c*a.x)
	})
	q := &u.points[top]
	return top, q.y - q.x*(slope-c*q.x)
}

func sign(n int) int {
	if n < 0 {
		return -1
	}
	return 1
}
