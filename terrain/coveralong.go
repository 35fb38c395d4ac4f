package terrain

import (
	"math"
	"slices"
	"sort"
	"sync"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// CoverAlong reads a cover along one profile, only where it is asked to. The zero CoverAlong is for
// Begin; it may begin again, and is not safe for concurrent use.
type CoverAlong struct {
	p     *Profile
	cover Cover      // nil where all points are known
	known []bool     // by point
	stood []Standing // memory
	err   error
	// Places beside both ends, every lookM up to AtWoodM.
	at     [2 * nearLooks]orb.Point
	beside [2 * nearLooks]Standing
	looked bool
	one    [1]Standing
}

const (
	nearLooks  = AtWoodM / lookM
	readAtOnce = 8 // points
)

// Begin finds the woods at the ends of a profile that was sampled over a DEM without this cover, and puts
// the points at their edges and those of outlines into it; nothing else is read yet. Where nothing is known
// along it, it is as one over a DEM without a cover. Until Need has been asked for a point nothing
// is to be relied on there. The profile must stay where it is. The error is of a
// cover that could not be read, or of a profile that was not sampled.
func (c *CoverAlong) Begin(p *Profile, cover Cover) error {
	if p == nil || cover == nil || len(p.Points) < 2 || len(p.DistM) != len(p.Points) ||
		len(p.HeightM) != len(p.Points) || len(p.Flags) != len(p.Points) {
		return fault.Input("cover along a profile: no cover, or a profile that was not sampled")
	}
	c.p, c.cover, c.err, c.looked = p, cover, nil, false
	if drawn, ok := cover.(Outlined); ok {
		if known, err := p.outline(drawn); err != nil || !known {
			c.cover, p.Standing, p.Woods = nil, nil, [2]Wood{}
			return err
		}
	}
	c.known, c.stood = ofLength(c.known, len(p.Points)), ofLength(c.stood, len(p.Points))
	clear(c.known)
	p.Standing = c.stood
	if p.LengthM() >= 2*AtWoodM {
		for k := range nearLooks {
			d := float64(k+1) * lookM
			c.at[k], c.at[nearLooks+k] = p.placeAt(d), p.placeAt(p.LengthM()-d)
		}
		c.looked = c.keep(cover.Standing(c.at[:], c.beside[:]))
	}
	err := p.findWoods(c)
	c.stood = p.Standing
	return err
}

// Need reads what stands at the points from one on and before another, where that is not known yet. The error is
// of a cover that could not be read.
func (c *CoverAlong) Need(from, to int) error {
	if c.cover == nil {
		return nil
	}
	for from, to = max(from, 0), min(to, len(c.known)); from < to; {
		if c.known[from] {
			from++
			continue
		}
		end := from
		for ; end < to && !c.known[end]; end++ {
			c.known[end] = true
		}
		if !c.keep(c.cover.Standing(c.p.Points[from:end], c.p.Standing[from:end])) {
			clear(c.p.Standing[from:end])
		}
		from = end
	}
	return c.err
}

func (c *CoverAlong) keep(err error) bool {
	if err != nil && c.err == nil {
		c.err = unread(err)
	}
	return err == nil
}

// point is what stands at a point.
func (c *CoverAlong) point(k int) Standing {
	if c.cover != nil && !c.known[k] {
		from := k &^ (readAtOnce - 1)
		_ = c.Need(from, from+readAtOnce) // which is kept
	}
	return c.p.Standing[k]
}

// near is from at a multiple of lookM.
func (c *CoverAlong) near(end int, d float64) Standing {
	if k := int(d/lookM) - 1; c.looked && k < nearLooks {
		return c.beside[end*nearLooks+k]
	}
	return c.from(end, d)
}

// from is what stands d m from an end.
func (c *CoverAlong) from(end int, d float64) Standing {
	p := c.p
	if end == 1 {
		d = p.LengthM() - d
	}
	if c.cover == nil {
		i := sort.SearchFloat64s(p.DistM, d)
		if i == len(p.DistM) || i > 0 && d-p.DistM[i-1] < p.DistM[i]-d {
			i--
		}
		return p.Standing[i]
	}
	c.at[0] = p.placeAt(d)
	c.keep(c.cover.Standing(c.at[:1], c.one[:]))
	return c.one[0]
}

// placeAt is the place d m along the profile.
func (p *Profile) placeAt(d float64) orb.Point {
	i := min(max(p.from(d), 1), len(p.DistM)-1)
	return p.between(i, (d-p.DistM[i-1])/(p.DistM[i]-p.DistM[i-1]))
}

// from is the first point d m along the profile, and more; most are asked for near its ends.
func (p *Profile) from(d float64) int {
	const near = 8
	low, high := 0, len(p.DistM)
	if high > 2*near && d <= p.DistM[near] {
		high = near
	} else if high > 2*near && d > p.DistM[high-near] {
		low = high - near
	}
	return low + sort.SearchFloat64s(p.DistM[low:high], d)
}

// cover fills in what stands on the points of a profile, and the woods at its ends.
func (p *Profile) cover(of Cover) error {
	c := alongs.Get().(*CoverAlong)
	defer alongs.Put(c)
	c.stood = p.Standing
	err := c.Begin(p, of)
	if err == nil {
		err = c.Need(0, len(p.Points))
	}
	c.p, c.cover, c.stood = nil, nil, nil
	return err
}

// alongs serve Sample.
var alongs = sync.Pool{New: func() any { return new(CoverAlong) }}

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
	w.Rim = c.from(end, max(w.FarM-2*WoodEdgeM, w.NearM))
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

// edge is the place in a wood next to its edge between a place outside and one inside.
func edge(outside, inside float64, wooded func(float64) bool) float64 {
	for n := 0; n < mostHalved && math.Abs(inside-outside) > WoodEdgeM; n++ {
		if middle := (outside + inside) / 2; wooded(middle) {
			inside = middle
		} else {
			outside = middle
		}
	}
	return inside
}
