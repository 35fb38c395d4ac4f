package coverage

// The obstruction of the smooth earth's antenna heights is that of the bare ground, not
// flattened. What stands out of it is a point of the hull of flattened ground, too: a
// straight line that touches the bare ground from above and is flattened with it bends
// down, so that its tangent touches the flattened ground from above at the same point.
// Among the points of that hull a search goes uphill. Other points stand in between, so
// that it may end at a lower top, which matters little: see the test of coverages against
// single paths.

// bareTangent returns the largest slope from (x, top) back to the bare ground of a point,
// where c x² was taken off it. It starts at the better one of where the last such search
// and the last tangent ended.
func (u *hull) bareTangent(x, top, c float64) float64 {
	p := u.points
	at := func(q *hullPoint) (rise, run float64) { return q.y + c*q.x*q.x - top, x - q.x }
	k := min(u.seen, len(p)-1)
	rise, run := at(&p[k])
	if other := min(u.bareSeen, len(p)-1); other != k {
		if r, w := at(&p[other]); r*run > rise*w {
			k, rise, run = other, r, w
		}
	}
	start := k
	for direction := -1; direction <= 1 && k == start; direction += 2 {
		for next := k + direction; next >= 0 && next < len(p); next += direction {
			r, w := at(&p[next])
			if r*run <= rise*w {
				break
			}
			k, rise, run = next, r, w
			if steps := (k - start) * direction; steps > nearSteps {
				k = u.gallop(k, direction, func(a, b *hullPoint) bool {
					riseA, runA := at(a)
					riseB, runB := at(b)
					return riseB*runA > riseA*runB
				})
				rise, run = at(&p[k])
				break
			}
		}
	}
	u.bareSeen = k
	return rise / run
}

// bareHighest returns the largest height of such ground over a line of that slope
// through 0. It starts at the better one of where the last such search and the last
// bareTangent ended.
func (u *hull) bareHighest(slope, c float64) float64 {
	p := u.points
	over := func(q *hullPoint) float64 { return q.y - q.x*(slope-c*q.x) }
	k := min(u.bareHigh, len(p)-1)
	at := over(&p[k])
	if other := min(u.bareSeen, len(p)-1); other != k {
		if h := over(&p[other]); h > at {
			k, at = other, h
		}
	}
	start := k
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
	u.bareHigh = k
	return at
}
