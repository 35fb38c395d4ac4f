package terrain

import (
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// Outlined is a Cover of which some is known by its edges, as on a map, and may be smaller than the
// way between two points of a profile.
type Outlined interface {
	Cover
	// Crossings appends to out where the straight lines in longitude and latitude from each place
	// to the next cross an edge, in any order: 2.25 is a quarter of the way from place 2 to place 3.
	// Longitudes are within ±180.
	Crossings(places []orb.Point, out []float64) []float64
	// Alone reports whether nothing is known beside what has edges.
	Alone() bool
	// Highest is that of a Cover.
	Highest() Standing
}

// besideEdgeM is how far before and behind an edge the points of a profile lie that tell it, m.
const besideEdgeM = 0.01

// outlines is memory for the edges of a path.
type outlines struct {
	at       []float64
	profile  Profile
	distM    []float64
	one      [1]orb.Point
	standing [1]Standing
}

var outlinesPool = sync.Pool{New: func() any { return new(outlines) }}

// outline puts a point before and behind each edge that the way crosses, on the straight line
// between its neighbours, where the ground is known. With nothing known along the way it
// returns false.
func (p *Profile) outline(c Outlined) (known bool, err error) {
	o := outlinesPool.Get().(*outlines)
	defer outlinesPool.Put(o)
	o.at = c.Crossings(p.Points, o.at[:0])
	if len(o.at) == 0 {
		if !c.Alone() {
			return true, nil
		}
		o.one[0] = p.Points[0]
		err := c.Standing(o.one[:], o.standing[:])
		return o.standing[0].Class != CoverUnknown, unread(err)
	}
	if n := len(p.DistM) + 2*len(o.at); n > MaxProfilePoints {
		return false, fault.Input("terrain: what is drawn has %d edges across the path, which makes more than the %d points "+
			"allowed; draw it simpler", len(o.at), MaxProfilePoints)
	}
	slices.Sort(o.at)
	p.insertBeside(o)
	return true, nil
}

// insertBeside writes the profile anew with the points beside the edges at o.at.
func (p *Profile) insertBeside(o *outlines) {
	was := &o.profile
	was.DistM, was.HeightM = append(was.DistM[:0], p.DistM...), append(was.HeightM[:0], p.HeightM...)
	was.Flags, was.Points = append(was.Flags[:0], p.Flags...), append(was.Points[:0], p.Points...)
	p.DistM, p.HeightM, p.Flags, p.Points = p.DistM[:0], p.HeightM[:0], p.Flags[:0], p.Points[:0]
	last, done := len(was.DistM)-1, 0
	keep := func(to int) { // the points before
		p.DistM, p.HeightM = append(p.DistM, was.DistM[done:to]...), append(p.HeightM, was.HeightM[done:to]...)
		p.Flags, p.Points = append(p.Flags, was.Flags[done:to]...), append(p.Points, was.Points[done:to]...)
		done = to
	}
	for k := 0; k < len(o.at); {
		i := min(int(o.at[k])+1, last)
		keep(i)
		from, to := was.DistM[i-1], was.DistM[i]
		o.distM = o.distM[:0]
		for ; k < len(o.at) && (o.at[k] < float64(i) || i == last); k++ {
			d := from + (o.at[k]-float64(i-1))*(to-from)
			o.distM = append(o.distM, d-besideEdgeM, d+besideEdgeM)
		}
		slices.Sort(o.distM)
		for _, d := range o.distM {
			if d-p.DistM[len(p.DistM)-1] < shortestPathM || to-d < shortestPathM || d <= from ||
				!was.Flags[i-1].Known() || !was.Flags[i].Known() {
				continue
			}
			u := (d - from) / (to - from)
			p.DistM = append(p.DistM, d)
			p.HeightM = append(p.HeightM, was.HeightM[i-1]+u*(was.HeightM[i]-was.HeightM[i-1]))
			p.Flags, p.Points = append(p.Flags, max(was.Flags[i-1], was.Flags[i])), append(p.Points, was.between(i, u))
		}
	}
	keep(last + 1)
}
