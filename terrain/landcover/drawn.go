package landcover

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Outline is ground on which something stands, as it is drawn.
type Outline struct {
	// Rings are closed, in longitude and latitude, degrees, joined by straight lines in these; what an
	// odd number of them holds is inside, so that a ring in a ring is a hole.
	Rings  orb.Polygon
	Stands terrain.Standing // Drawn or not
}

// MaxPositions bounds the positions of all outlines of a cover.
const MaxPositions = 200_000

// drawn is what is drawn over another cover.
type drawn struct {
	under  terrain.Cover // nil for none
	shapes []shape       // neighbours on the ground are neighbours here
	blocks []bounds      // of perBlock shapes each
	over   []bounds      // of perBlock blocks each
	all    bounds
}

const perBlock = 16

// Drawn lays outlines over another cover, nil for none: where they overlap the last one holds, and
// what lies on an edge belongs to one side of it. The error tells every fault at once: a place that is none on
// earth, an open ring, a side over more than half of the earth as where a ring crosses 180 degrees, what
// cannot stand, or more than [MaxPositions].
func Drawn(outlines []Outline, under terrain.Cover) (terrain.Cover, error) {
	var errs []error
	positions := 0
	d := &drawn{under: under, shapes: make([]shape, len(outlines))}
	for i, o := range outlines {
		s := &d.shapes[i]
		s.bounds, s.order, s.stands = nowhere, int32(i), o.Stands
		s.stands.Drawn = true
		if c := o.Stands; c.Class == terrain.CoverUnknown || c.Class > terrain.CoverDenseUrban ||
			!(c.HeightM >= 0 && c.HeightM <= terrain.MostStandingM) {
			errs = append(errs, fault.Input("cover: outline %d: found %v, allowed a class and 0 to %d m", i, c,
				terrain.MostStandingM))
		}
		for _, ring := range o.Rings {
			positions += len(ring)
			if err := s.add(ring); err != nil {
				errs = append(errs, fault.Input("cover: outline %d: %w", i, err))
			}
		}
	}
	if positions > MaxPositions {
		errs = append(errs, fault.Input("cover: found %d positions, allowed %d in all outlines", positions, MaxPositions))
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	d.shapes = slices.DeleteFunc(d.shapes, func(s shape) bool { return len(s.edges) == 0 })
	for i := range d.shapes {
		d.shapes[i].index()
	}
	d.arrange()
	return d, nil
}

// arrange makes blocks of shapes near each other: strips of longitude, by latitude in each.
func (d *drawn) arrange() {
	middle := func(a, b float64) float64 { return (a + b) / 2 }
	slices.SortFunc(d.shapes, func(a, b shape) int { return cmp.Compare(middle(a.west, a.east), middle(b.west, b.east)) })
	strip := perBlock * int(math.Ceil(math.Sqrt(float64(len(d.shapes))/perBlock)))
	for part := range slices.Chunk(d.shapes, max(strip, 1)) {
		slices.SortFunc(part, func(a, b shape) int {
			return cmp.Compare(middle(a.south, a.north), middle(b.south, b.north))
		})
	}
	d.all = nowhere
	d.blocks = joined(d.shapes, func(s *shape) *bounds { return &s.bounds })
	d.over = joined(d.blocks, func(b *bounds) *bounds { return b })
	for i := range d.over {
		d.all.join(&d.over[i])
	}
}

// joined are the bounds of blocks of perBlock each.
func joined[T any](of []T, bound func(*T) *bounds) (out []bounds) {
	for part := range slices.Chunk(of, perBlock) {
		b := nowhere
		for i := range part {
			b.join(bound(&part[i]))
		}
		out = append(out, b)
	}
	return out
}

// atOnce and few are how many places are looked at together, first and then.
const atOnce, few = 32, 4

// near calls visit with each shape whose bounds meet those of places, at most atOnce of them, and the part of
// the places next to it; where they are a way, from each to the next one.
func (d *drawn) near(at []orb.Point, way bool, visit func(s *shape, from, to int)) {
	all := nowhere
	for _, p := range at {
		all.add(p[0], p[1])
	}
	if !d.all.meets(&all) {
		return
	}
	var parts [atOnce / few]bounds
	n := (len(at) + few - 1) / few
	for k := range d.over {
		if !d.over[k].meets(&all) {
			continue
		}
		for k := k * perBlock; k < min((k+1)*perBlock, len(d.blocks)); k++ {
			if !d.blocks[k].meets(&all) {
				continue
			}
			for i := k * perBlock; i < min((k+1)*perBlock, len(d.shapes)); i++ {
				s := &d.shapes[i]
				if !s.meets(&all) {
					continue
				}
				if parts[0] == (bounds{}) {
					boundsOfParts(at, way, parts[:n])
				}
				for part := range parts[:n] {
					if s.meets(&parts[part]) {
						visit(s, part*few, min((part+1)*few, len(at)))
					}
				}
			}
		}
	}
}

func boundsOfParts(at []orb.Point, way bool, parts []bounds) {
	for i := range parts {
		b, to := nowhere, (i+1)*few
		if way {
			to++
		}
		for _, p := range at[i*few : min(to, len(at))] {
			b.add(p[0], p[1])
		}
		parts[i] = b
	}
}

// Standing implements [terrain.Cover].
func (d *drawn) Standing(at []orb.Point, out []terrain.Standing) error {
	if len(out) != len(at) {
		return fault.Input("cover: room for %d answers about %d places, must be as many", len(out), len(at))
	}
	if d.under == nil {
		clear(out)
	} else if err := d.under.Standing(at, out); err != nil {
		return err
	}
	d.lay(at, out)
	return nil
}

// lay puts what is drawn at places over what is found there.
func (d *drawn) lay(at []orb.Point, out []terrain.Standing) {
	var places [atOnce]orb.Point
	for from := 0; from < len(at); from += atOnce {
		n := copy(places[:], at[from:])
		for i := range places[:n] {
			if x := places[i][0]; x > 180 || x < -180 {
				places[i][0] = math.Remainder(x, 360)
			}
		}
		var order [atOnce]int32 // one more than that of the shape found
		answers := out[from:]
		d.near(places[:n], false, func(s *shape, from, to int) {
			for i := from; i < to; i++ {
				if s.order >= order[i] && s.holds(places[i][0], places[i][1]) {
					order[i], answers[i] = s.order+1, s.stands
				}
			}
		})
	}
}

// Alone implements [terrain.Outlined].
func (d *drawn) Alone() bool { return d.under == nil }

// Crossings implements [terrain.Outlined].
func (d *drawn) Crossings(places []orb.Point, out []float64) []float64 {
	var way [atOnce]orb.Point
	for from := 0; from+1 < len(places); from += atOnce - 1 {
		n := copy(way[:], places[from:])
		beyond := 0.0 // where the way crosses longitude 180, once more on the other side
		for i := range way[:n] {
			if x := way[i][0] - way[0][0]; x > 180 {
				way[i][0], beyond = way[i][0]-360, 360
			} else if x < -180 {
				way[i][0], beyond = way[i][0]+360, -360
			}
		}
		cross := func(s *shape, first, to int) {
			for i := first + 1; i < min(to+1, n); i++ {
				out = s.crossings(edge{x0: way[i-1][0], y0: way[i-1][1], x1: way[i][0], y1: way[i][1]}, float64(from+i-1), out)
			}
		}
		d.near(way[:n], true, cross)
		if beyond != 0 {
			for i := range way[:n] {
				way[i][0] += beyond
			}
			d.near(way[:n], true, cross)
		}
	}
	return out
}

// Highest implements [terrain.Outlined].
func (d *drawn) Highest() (s terrain.Standing) {
	if of, ok := d.under.(interface{ Highest() terrain.Standing }); ok {
		s = of.Highest()
	} else if d.under != nil {
		s = terrain.Standing{Class: terrain.CoverDenseUrban, HeightM: terrain.MostStandingM}
	}
	for i := range d.shapes {
		is := &d.shapes[i].stands
		s.Class, s.HeightM = max(s.Class, is.Class), max(s.HeightM, is.HeightM)
	}
	return s
}
