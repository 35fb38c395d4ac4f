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

func (b *bounds) join(o *bounds) {
	b.add(o.west, o.south)
	b.add(o.east, o.north)
}

func (b *bounds) meets(o *bounds) bool {
	return b.west <= o.east && b.east >= o.west && b.south <= o.north && b.north >= o.south
}

// shape is an outline that is quick to ask: its edges by slabs of latitude.
type shape struct {
	bounds
	order  int32 // the later lies over the earlier
	stands terrain.Standing
	edges  []edge
	perDeg float64 // slabs
	slabs  []int32 // where the edges of a slab begin in list
	list   []int32
}

// edge is a side of an outline.
type edge struct {
	x0, y0, x1, y1 float64
	first          int // slab
}

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
		e := edge{x0: ring[i-1][0], y0: ring[i-1][1], x1: at[0], y1: at[1]}
		if CrossesDateLine(ring[i-1], at) {
			return fault.Input("side from %v to %v, allowed up to 180 degrees of longitude: split it at longitude 180",
				ring[i-1], at)
		}
		s.edges = append(s.edges, e)
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
			s.edges[k].first = from
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
	if x < s.west || x > s.east || y < s.south || y > s.north {
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

// crossings appends where a line crosses edges.
func (s *shape) crossings(line edge, at float64, out []float64) []float64 {
	if line.x0 < s.west && line.x1 < s.west || line.x0 > s.east && line.x1 > s.east ||
		line.y0 < s.south && line.y1 < s.south || line.y0 > s.north && line.y1 > s.north {
		return out
	}
	const rounding = 1e-9
	dx, dy := line.x1-line.x0, line.y1-line.y0
	from, to := s.span(line.y0, line.y1)
	slab, west, east := from, min(line.x0, line.x1), max(line.x0, line.x1)
	for i := s.slabs[from]; i < s.slabs[to+1]; i++ {
		for i >= s.slabs[slab+1] {
			slab++
		}
		e := &s.edges[s.list[i]]
		if e.first < slab && slab > from || e.x0 < west && e.x1 < west || e.x0 > east && e.x1 > east {
			continue // met in the slab before, or beside the line
		}
		left0 := dx*(e.y0-line.y0) - dy*(e.x0-line.x0)
		left1 := dx*(e.y1-line.y0) - dy*(e.x1-line.x0)
		if (left0 > 0) == (left1 > 0) {
			continue
		}
		part := left0 / (left0 - left1)
		x, y := e.x0+part*(e.x1-e.x0)-line.x0, e.y0+part*(e.y1-e.y0)-line.y0
		if u := (x*dx + y*dy) / (dx*dx + dy*dy); u >= -rounding && u <= 1+rounding {
			out = append(out, at+min(max(u, 0), 1))
		}
	}
	return out
}
