package coverage

// placeRun samples are placed at a time, where they are equally far from one another
// and many.
const (
	placeRun   = 16
	evenFrom   = 1.0 / 256 // of the ray, from one sample to the next
	halfRun    = placeRun / 2
	perHalfRun = 1.0 / halfRun
)

// place finds where sample i lies, and to which posts the ray is the nearest one.
func (r *ray) place(c *comb, i int) {
	s := r.along(c.teeth[i].along)
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
