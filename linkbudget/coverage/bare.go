package coverage

// The obstruction of the smooth earth's antenna heights is that of the bare ground, not
// flattened. What stands out of it is a point of the hull of flattened ground, too: a
// straight line that touches the bare ground from above and is flattened with it bends
// down, so that its tangent touches the flattened ground from above at the same point.
// Among the points of that hull a search goes uphill from where the flattened one ended.
// Others are in between, and it may end at a lower top: on rough ground with posts every
// 31 m, 95 % of cells lie within 0.40 dB of their own paths instead of 0.39 dB.

// bareTangent returns the largest slope from (x, top) back to the bare ground of a point,
// where c x² was taken off it.
func (u *hull) bareTangent(x, top, c float64) float64 {
	p := u.points
	steeper := func(a, b *hullPoint) bool {
		return (b.y+c*b.x*b.x-top)*(x-a.x) > (a.y+c*a.x*a.x-top)*(x-b.x)
	}
	k := min(u.seen, len(p)-1)
	rise, run := p[k].y+c*p[k].x*p[k].x-top, x-p[k].x
	for start := k; k > 0; {
		q := &p[k-1]
		r, w := q.y+c*q.x*q.x-top, x-q.x
		if r*run <= rise*w {
			if k < start {
				return rise / run
			}
			break
		}
		k, rise, run = k-1, r, w
		if start-k > nearSteps {
			k = u.gallop(k, -1, steeper)
			return (p[k].y + c*p[k].x*p[k].x - top) / (x - p[k].x)
		}
	}
	for start := k; k+1 < len(p); {
		q := &p[k+1]
		r, w := q.y+c*q.x*q.x-top, x-q.x
		if r*run <= rise*w {
			break
		}
		k, rise, run = k+1, r, w
		if k-start > nearSteps {
			k = u.gallop(k, 1, steeper)
			return (p[k].y + c*p[k].x*p[k].x - top) / (x - p[k].x)
		}
	}
	return rise / run
}

// bareHighest returns the largest height of such ground over a line of that slope
// through 0.
func (u *hull) bareHighest(slope, c float64) float64 {
	p := u.points
	over := func(q *hullPoint) float64 { return q.y - q.x*(slope-c*q.x) }
	k := min(u.highest, len(p)-1)
	at, start := over(&p[k]), k
	for direction := -1; direction <= 1 && k == start; direction += 2 {
		for next := k + direction; next >= 0 && next < len(p); next += direction {
			h := over(&p[next])
			if h <= at {
				break
			}
			k, at = next, h
			if steps := (k - start) * direction; steps > nearSteps {
				k = u.gallop(k, direction, func(a, b *hullPoint) bool { return over(b) > over(a) })
				at = over(&p[k])
				break
			}
		}
	}
	u.highest = k
	return at
}
