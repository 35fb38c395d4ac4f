package terrain

import (
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
// cover that could not be read, or of a profile without places.
func (c *CoverAlong) Begin(p *Profile, cover Cover) error {
	if p == nil || cover == nil || len(p.Points) < 2 || len(p.Points) != len(p.DistM) {
		return fault.Input("cover along a profile: no cover, or no profile with places")
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
	i := min(max(sort.SearchFloat64s(p.DistM, d), 1), len(p.DistM)-1)
	return p.between(i, (d-p.DistM[i-1])/(p.DistM[i]-p.DistM[i-1]))
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
