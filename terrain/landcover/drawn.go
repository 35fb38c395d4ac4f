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
	for part := range slices.Chunk(d.shapes, perBlock) {
		b := nowhere
		for i := range part {
			b.add(part[i].west, part[i].south)
			b.add(part[i].east, part[i].north)
		}
		d.blocks = append(d.blocks, b)
	}
}

// near calls visit with each shape whose bounds meet others.
func (d *drawn) near(b *bounds, visit func(*shape)) {
	for k := range d.blocks {
		if !d.blocks[k].meets(b) {
			continue
		}
		for i := k * perBlock; i < min((k+1)*perBlock, len(d.shapes)); i++ {
			if s := &d.shapes[i]; s.meets(b) {
				visit(s)
			}
		}
	}
}

// atOnce are the places whose bounds are looked at together.
const atOnce = 32

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
	for from := 0; from < len(at); from += atOnce {
		part, answers := at[from:min(from+atOnce, len(at))], out[from:]
		b := nowhere
		for _, p := range part {
			b.add(within180(p[0]), p[1])
		}
		var order [atOnce]int32 // one more than that of the shape found
		d.near(&b, func(s *shape) {
			for i, p := range part {
				if s.order >= order[i] && s.holds(within180(p[0]), p[1]) {
					order[i], answers[i] = s.order+1, s.stands
				}
			}
		})
	}
	return nil
}

func within180(lon float64) float64 {
	if lon > 180 || lon < -180 {
		return math.Remainder(lon, 360)
	}
	return lon
}

// Alone implements [terrain.Outlined].
func (d *drawn) Alone() bool { return d.under == nil }

// Crossings implements [terrain.Outlined].
func (d *drawn) Crossings(places []orb.Point, out []float64) []float64 {
	for from := 0; from+1 < len(places); from += atOnce {
		part := places[from:min(from+atOnce+1, len(places))]
		for _, shiftDeg := range [...]float64{0, -360, 360} {
			b := nowhere
			for i, p := range part {
				b.add(unrolled(p[0], part[0][0])+shiftDeg, part[i][1])
			}
			if b.east < -180 || b.west > 180 {
				continue
			}
			d.near(&b, func(s *shape) {
				for i := 1; i < len(part); i++ {
					x0, x1 := unrolled(part[i-1][0], part[0][0])+shiftDeg, unrolled(part[i][0], part[0][0])+shiftDeg
					out = s.crossings(edge{x0, part[i-1][1], x1, part[i][1]}, float64(from+i-1), out)
				}
			})
		}
	}
	return out
}

// unrolled is a longitude within half a turn of another.
func unrolled(lon, of float64) float64 {
	if lon-of > 180 {
		return lon - 360
	} else if of-lon > 180 {
		return lon + 360
	}
	return lon
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
