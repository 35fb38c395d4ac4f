package coverage

// placeRun samples are placed at a time: where they are equally far from one
// another and many, a parabola through three of them misses the ray by less than a
// thousandth of a post (see the test) and costs a few multiplications.
const (
	placeRun   = 16
	evenFrom   = 1.0 / 256 // of the ray, from one sample to the next
	halfRun    = placeRun / 2
	perHalfRun = 1.0 / halfRun
)

// place finds where samples from i on lie, up to the end of a run, but not past end,
// and to which posts the ray is the nearest one. Runs begin at the same samples for
// all rays, so that neighbours find the same border between them.
func (r *ray) place(c *comb, i, end int) (stop int) {
	if i < c.even {
		s := r.along(c.teeth[i].along)
		cross, distM := r.at(s)
		r.cross[i], r.dist[i], r.per[i] = cross, distM, 1/distM
		r.low[i], r.high[i] = after(r.sides[0].across(s)), after(r.sides[1].across(s))
		return i + 1
	}
	begin := (i - c.even) % placeRun
	stop = min(i-begin+placeRun, end)
	s0, half := r.along(c.teeth[i-begin].along), c.evenStep*halfRun/r.perS
	s1, s2 := s0+half, s0+2*half
	cross0, dist0 := r.at(s0)
	cross1, dist1 := r.at(s1)
	cross2, dist2 := r.at(s2)
	cross, dist := parabolaOf(cross0, cross1, cross2), parabolaOf(dist0, dist1, dist2)
	low := parabolaOf(r.sides[0].across(s0), r.sides[0].across(s1), r.sides[0].across(s2))
	high := parabolaOf(r.sides[1].across(s0), r.sides[1].across(s1), r.sides[1].across(s2))
	crosses := r.cross[i:stop]
	n := len(crosses)
	dists, pers, lows, highs := r.dist[i:][:n], r.per[i:][:n], r.low[i:][:n], r.high[i:][:n]
	k := float64(begin)
	for m := range crosses {
		d := dist.at(k)
		crosses[m], dists[m], pers[m] = cross.at(k), d, 1/d
		lows[m], highs[m] = after(low.at(k)), after(high.at(k))
		k++
	}
	return stop
}

// after returns the first whole number from x on.
func after(x float64) int32 {
	n := int32(x)
	if float64(n) < x {
		n++
	}
	return n
}

// parabola is a number at the samples of a run, counted from its first.
type parabola struct{ a, b, c float64 }

// parabolaOf goes through three of them, halfRun apart.
func parabolaOf(v0, v1, v2 float64) parabola {
	c := (v0 - 2*v1 + v2) * (perHalfRun * perHalfRun / 2)
	return parabola{v0, (v1-v0)*perHalfRun - halfRun*c, c}
}

func (p *parabola) at(k float64) float64 { return p.a + k*(p.b+k*p.c) }
