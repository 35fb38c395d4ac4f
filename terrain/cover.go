package terrain

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"sync"

	"github.com/paulmach/orb"
)

// CoverClass is the kind of what stands on the ground at a place.
type CoverClass uint8

// The classes: those of ITU-R P.1812-6 table 2, with trees apart from houses.
const (
	CoverUnknown CoverClass = iota // nobody says
	CoverWater
	CoverOpen
	CoverSuburban
	CoverWood
	CoverUrban
	CoverDenseUrban
)

// String returns the word of the class.
func (c CoverClass) String() string {
	if c > CoverDenseUrban {
		return fmt.Sprintf("cover %d", uint8(c))
	}
	return [...]string{"unknown", "water", "open", "suburban", "wood", "urban", "dense_urban"}[c]
}

// Stands reports whether the class rises above the ground: woods and houses.
func (c CoverClass) Stands() bool { return c > CoverOpen && c <= CoverDenseUrban }

// Standing is what stands at one place.
type Standing struct {
	Class CoverClass
	// HeightM is its height above the ground, m; 0 where only the class is known.
	HeightM float32
}

// MostStandingM is more than anything that stands on the ground is high, m.
const MostStandingM = 500

func (s Standing) sound() bool {
	return s.Class <= CoverDenseUrban && s.HeightM >= 0 && s.HeightM <= MostStandingM
}

// A Cover tells what stands on the ground. It must be safe for concurrent use.
type Cover interface {
	// Standing writes what stands at each place to out, which is as long as at. Places are as in
	// [DEM.Heights]. An error means that the source could not be read, or says what is none.
	Standing(at []orb.Point, out []Standing) error
}

// covered is a DEM of which is known what stands on it.
type covered struct {
	DEM
	cover Cover
}

// WithCover lays a cover on a DEM: profiles over it tell what stands on the ground. The
// heights are those of the DEM. Without one of both it is the DEM as it is.
func WithCover(dem DEM, cover Cover) DEM {
	if dem == nil || cover == nil {
		return dem
	}
	return covered{dem, cover}
}

// GroundAndCover takes apart what WithCover put together; the cover is nil where none is known.
func GroundAndCover(dem DEM) (DEM, Cover) {
	if c, ok := dem.(covered); ok {
		return c.DEM, c.cover
	}
	return dem, nil
}

// Wood is the wood that an end of a path stands in, or that begins within AtWoodM before it. The
// zero Wood is none.
type Wood struct {
	// NearM and FarM are where the way enters and leaves it, m from that end: NearM is 0 for an
	// end inside. FarM is the length of the path where the other end stands in the same wood.
	NearM, FarM float64
	// Rim is what stands at the far edge.
	Rim Standing
}

func (w Wood) sound(lengthM float64) bool {
	return w.NearM >= 0 && w.FarM >= w.NearM && w.FarM <= lengthM && w.Rim.sound()
}

// AtWoodM is how far before an antenna a wood may begin to stand around that end: nearer than that
// P.452-18 lets nothing stand on a profile.
const AtWoodM = 50

// A clearing no wider than clearingM does not end a wood: a road, a ride. To edgeM an edge is
// looked for, in steps of lookM near an end; up to markedM from one it is a point of the profile. Engineering
// judgement.
const (
	clearingM = 100
	edgeM     = 0.5
	lookM     = 10
	markedM   = 200

	mostHalved = 40 // times that a way is halved; no path on the earth needs more
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
	return p.findWoods(func(d float64) (Standing, error) {
		i := sort.SearchFloat64s(p.DistM, d)
		if i == len(p.DistM) || i > 0 && d-p.DistM[i-1] < p.DistM[i]-d {
			i--
		}
		return p.Standing[i], nil
	})
}

// cover fills in what stands on the points of a profile, and the woods at its ends.
func (p *Profile) cover(c Cover) error {
	if err := c.Standing(p.Points, p.Standing); err != nil {
		return unread(err)
	}
	l := looks.Get().(*look)
	defer looks.Put(l)
	return p.findWoods(func(d float64) (Standing, error) {
		i := min(max(sort.SearchFloat64s(p.DistM, d), 1), len(p.DistM)-1)
		l.at[0] = p.between(i, (d-p.DistM[i-1])/(p.DistM[i]-p.DistM[i-1]))
		err := c.Standing(l.at[:], l.out[:])
		return l.out[0], unread(err)
	})
}

// look is memory for one place.
type look struct {
	at  [1]orb.Point
	out [1]Standing
}

var looks = sync.Pool{New: func() any { return new(look) }}

// findWoods asks what stands at distances from the first place.
func (p *Profile) findWoods(at func(distM float64) (Standing, error)) error {
	lengthM := p.LengthM()
	for end := range p.Woods {
		var failed error
		standing := func(d float64) Standing { // d m from the end
			if end == 1 {
				d = lengthM - d
			}
			s, err := at(d)
			if err != nil && failed == nil {
				failed = err
			}
			return s
		}
		w := p.woodOf(end, standing)
		if p.Woods[end] = w; w.FarM == 0 {
			p.markEdge(end, standing)
		} else if w.NearM > 0 && w.FarM > AtWoodM {
			p.insert(end, AtWoodM, standing)
		}
		if failed != nil {
			return failed
		}
	}
	return nil
}

// woodOf finds the wood at an end: step by step where it may begin, and at the points of the
// profile where it may end.
func (p *Profile) woodOf(end int, standing func(distM float64) Standing) (w Wood) {
	last, lengthM := len(p.DistM)-1, p.LengthM()
	wooded := func(d float64) bool { return standing(d).Class == CoverWood }
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
	done := look(0, p.Standing[last*end].Class == CoverWood)
	for d := float64(lookM); !done && d <= min(AtWoodM, lengthM); d += lookM {
		done = look(d, wooded(d))
	}
	for i := 1; !done && i <= last; i++ {
		k, d := i, p.DistM[i]
		if end == 1 {
			k, d = last-i, lengthM-p.DistM[last-i]
		}
		if d > before {
			done = look(d, p.Standing[k].Class == CoverWood)
		}
	}
	if inside < 0 {
		return Wood{}
	}
	if w.FarM = lengthM; outside > 0 {
		w.FarM = edge(outside, inside, wooded)
	}
	w.Rim = standing(max(w.FarM-2*edgeM, w.NearM))
	return w
}

// markEdge puts a point where a wood begins not far from an end, which else seems to begin at the next
// post behind.
func (p *Profile) markEdge(end int, standing func(distM float64) Standing) {
	last, lengthM, before := len(p.DistM)-1, p.LengthM(), 0.0
	for i := 1; i < last; i++ {
		k, d := i, p.DistM[i]
		if end == 1 {
			k, d = last-i, lengthM-p.DistM[last-i]
		}
		switch {
		case d > markedM:
			return
		case p.Standing[k].Class == CoverWood:
			p.insert(end, edge(max(before, AtWoodM), d, func(d float64) bool { return standing(d).Class == CoverWood }),
				standing)
			return
		}
		before = d
	}
}

// insert puts a point on the straight line between its neighbours, d m from an end; none
// where one is, or the ground beside it is not known.
func (p *Profile) insert(end int, d float64, standing func(distM float64) Standing) {
	s := standing(d)
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
}

// between is the place at a part of the way from the point before point i to it.
func (p *Profile) between(i int, part float64) orb.Point {
	a, b := p.Points[i-1], p.Points[i]
	return orb.Point{a[0] + part*math.Remainder(b[0]-a[0], 360), a[1] + part*(b[1]-a[1])}
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
