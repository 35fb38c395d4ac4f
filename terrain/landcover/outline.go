package landcover

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// bounds are those of an outline, degrees.
type bounds struct{ west, south, east, north float64 }

var nowhere = bounds{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}

func (b *bounds) add(x, y float64) {
	if x < b.west {
		b.west = x
	}
	if x > b.east {
		b.east = x
	}
	if y < b.south {
		b.south = y
	}
	if y > b.north {
		b.north = y
	}
}

func (b *bounds) meets(o *bounds) bool {
	return b.west <= o.east && b.east >= o.west && b.south <= o.north && b.north >= o.south
}

func (b *bounds) hold(x, y float64) bool {
	return x >= b.west && x <= b.east && y >= b.south && y <= b.north
}

// beside reports whether both ends of a line are on the outer side of one bound.
func (b *bounds) beside(line *side) bool {
	return line.x0 < b.west && line.x1 < b.west || line.x0 > b.east && line.x1 > b.east ||
		line.y0 < b.south && line.y1 < b.south || line.y0 > b.north && line.y1 > b.north
}

// shape is an outline that is quick to ask: its edges by slabs of latitude.
type shape struct {
	bounds
	stands terrain.Standing
	edges  []side
	perDeg float64 // slabs
	slabs  []int32 // where the edges of a slab begin in list
	list   []int32
}

// side is one of an outline, or of a way from place to place.
type side struct{ x0, y0, x1, y1 float64 }

// add takes a ring in.
func (s *shape) add(ring orb.Ring) error {
	if len(ring) < 4 || !ring.Closed() {
		return fault.Input("ring of %d positions, allowed 4 or more of which the last is the first", len(ring))
	}
	for i, at := range ring {
		if err := terrain.CheckPlace(at); err != nil {
			return err
		}
		s.bounds.add(at[0], at[1])
		if i == 0 {
			continue
		}
		if CrossesDateLine(ring[i-1], at) {
			return fault.Input("side from %v to %v, allowed up to 180 degrees of longitude: split it at longitude 180",
				ring[i-1], at)
		}
		s.edges = append(s.edges, side{ring[i-1][0], ring[i-1][1], at[0], at[1]})
	}
	return nil
}

// CrossesDateLine reports whether a side is drawn over more than half of the earth, as where it crosses
// longitude 180.
func CrossesDateLine(a, b orb.Point) bool { return math.Abs(a[0]-b[0]) > 180 }

// index sorts the edges into slabs: as many as half the edges, fewer where long edges lie in many.
func (s *shape) index() {
	for n := max(len(s.edges)/2, 1); ; n = (n + 1) / 2 {
		s.perDeg, s.slabs = float64(n)/(s.north-s.south), make([]int32, n+1)
		if !(s.perDeg <= math.MaxFloat64) {
			s.perDeg = 0
		}
		total := 0
		for i := range s.edges {
			from, to := s.span(s.edges[i].y0, s.edges[i].y1)
			total += to - from + 1
		}
		if n > 1 && total > 4*len(s.edges) {
			continue
		}
		for k := range s.edges {
			from, to := s.span(s.edges[k].y0, s.edges[k].y1)
			for slab := from; slab <= to; slab++ {
				s.slabs[slab]++
			}
		}
		for i, begin := 0, int32(0); i <= n; i++ {
			s.slabs[i], begin = begin, begin+s.slabs[i]
		}
		s.list = make([]int32, total)
		next := slices.Clone(s.slabs)
		for k := range s.edges {
			from, to := s.span(s.edges[k].y0, s.edges[k].y1)
			for slab := from; slab <= to; slab++ {
				s.list[next[slab]] = int32(k)
				next[slab]++
			}
		}
		return
	}
}

// span are the slabs from one latitude to another.
func (s *shape) span(y0, y1 float64) (from, to int) {
	last := float64(len(s.slabs) - 2)
	slab := func(y float64) int { return int(min(max((y-s.south)*s.perDeg, 0), last)) }
	return slab(min(y0, y1)), slab(max(y0, y1))
}

// holds reports whether a place is inside, by the even-odd rule.
func (s *shape) holds(x, y float64) (inside bool) {
	if !s.hold(x, y) {
		return false
	}
	k, _ := s.span(y, y)
	for _, i := range s.list[s.slabs[k]:s.slabs[k+1]] {
		e := &s.edges[i]
		if (e.y0 > y) != (e.y1 > y) && x < e.x0+(y-e.y0)*(e.x1-e.x0)/(e.y1-e.y0) {
			inside = !inside
		}
	}
	return inside
}
