package terrain

import (
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"
)

// FindWoods finds the woods at both ends of a profile of which is known what stands at its points:
// for one made by hand, where an edge lies half way between two points. Sample finds them in the cover.
// The error is that of Validate.
// An edge near an end becomes a point.
func (p *Profile) FindWoods() error {
	p.Woods = [2]Wood{}
	if err := p.Validate(); err != nil || p.Standing == nil {
		return err
	}
	return p.findWoods(&CoverAlong{p: p})
}

// findWoods asks what stands at points and between them.
func (p *Profile) findWoods(c *CoverAlong) error {
	for end := range p.Woods {
		w := p.woodOf(end, c)
		if p.Woods[end] = w; w.FarM == 0 {
			p.markEdge(end, c)
		} else if w.NearM > 0 && w.FarM > AtWoodM {
			p.insert(end, AtWoodM, c)
		}
	}
	return c.err
}

// woodOf finds the wood at an end: step by step where it may begin, and at the points of the
// profile where it may end.
func (p *Profile) woodOf(end int, c *CoverAlong) (w Wood) {
	last, lengthM := len(p.DistM)-1, p.LengthM()
	wooded := func(d float64) bool { return c.from(end, d).Class == CoverWood }
	before, inside, outside := 0.0, -1.0, -1.0 // the last place looked at, the farthest in the wood, the first behind it
	look := func(d float64, is bool) (done bool) {
		switch {
		case inside < 0 && is:
			if inside = d; d > 0 {
				w.NearM = edge(before, d, wooded)
			}
		case inside < 0:
		case is && outside > 0 && d-inside > clearingM: // the next wood
			return true
		case is:
			inside, outside = d, -1
		case outside < 0:
			outside = d
		}
		before = d
		return inside < 0 && d >= AtWoodM || inside >= 0 && outside > 0 && d-inside > clearingM
	}
	done := look(0, c.point(last*end).Class == CoverWood)
	for d := float64(lookM); !done && d <= min(AtWoodM, lengthM); d += lookM {
		done = look(d, c.near(end, d).Class == CoverWood)
	}
	for i := 1; !done && i <= last; i++ {
		k, d := i, p.DistM[i]
		if end == 1 {
			k, d = last-i, lengthM-p.DistM[last-i]
		}
		if d > before {
			done = look(d, c.point(k).Class == CoverWood)
		}
	}
	if inside < 0 {
		return Wood{}
	}
	if w.FarM = lengthM; outside > 0 {
		w.FarM = edge(outside, inside, wooded)
	}
	w.Rim = c.from(end, max(w.FarM-2*edgeM, w.NearM))
	return w
}

// markEdge puts a point where a wood begins not far from an end, which else seems to begin at the next
// post behind.
func (p *Profile) markEdge(end int, c *CoverAlong) {
	last, lengthM, before := len(p.DistM)-1, p.LengthM(), 0.0
	for i := 1; i < last; i++ {
		k, d := i, p.DistM[i]
		if end == 1 {
			k, d = last-i, lengthM-p.DistM[last-i]
		}
		switch {
		case d > markedM:
			return
		case c.point(k).Class == CoverWood:
			p.insert(end, edge(max(before, AtWoodM), d, func(d float64) bool { return c.from(end, d).Class == CoverWood }), c)
			return
		}
		before = d
	}
}

// insert puts a point on the straight line between its neighbours, d m from an end; none
// where one is, or the ground beside it is not known.
func (p *Profile) insert(end int, d float64, c *CoverAlong) {
	s := c.from(end, d)
	if end == 1 {
		d = p.LengthM() - d
	}
	i := sort.SearchFloat64s(p.DistM, d)
	if i == 0 || i == len(p.DistM) || d-p.DistM[i-1] < shortestPathM || p.DistM[i]-d < shortestPathM ||
		p.Flags != nil && !(p.Flags[i-1].Known() && p.Flags[i].Known()) {
		return
	}
	u := (d - p.DistM[i-1]) / (p.DistM[i] - p.DistM[i-1])
	h := p.HeightM[i-1] + u*(p.HeightM[i]-p.HeightM[i-1])
	if p.Points != nil {
		p.Points = slices.Insert(p.Points, i, p.between(i, u))
	}
	if p.Flags != nil {
		p.Flags = slices.Insert(p.Flags, i, max(p.Flags[i-1], p.Flags[i]))
	}
	p.DistM, p.HeightM = slices.Insert(p.DistM, i, d), slices.Insert(p.HeightM, i, h)
	p.Standing = slices.Insert(p.Standing, i, s)
	if c.known != nil {
		c.known = slices.Insert(c.known, i, true)
	}
}

// between is the place at a part of the way from the point before point i to it.
func (p *Profile) between(i int, part float64) orb.Point {
	a, b := p.Points[i-1], p.Points[i]
	lon := b[0] - a[0]
	if lon > 180 || lon < -180 {
		lon = math.Remainder(lon, 360)
	}
	return orb.Point{a[0] + part*lon, a[1] + part*(b[1]-a[1])}
}

// edge is the place in a wood next to its edge between a place outside and one inside.
func edge(outside, inside float64, wooded func(float64) bool) float64 {
	for n := 0; n < mostHalved && math.Abs(inside-outside) > edgeM; n++ {
		if middle := (outside + inside) / 2; wooded(middle) {
			inside = middle
		} else {
			outside = middle
		}
	}
	return inside
}
