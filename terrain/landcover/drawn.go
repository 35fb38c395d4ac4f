package landcover

import (
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
	under   terrain.Cover // nil for none
	shapes  []shape
	cells   edgeCells
	highest terrain.Standing
}

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
		s.bounds, s.stands = nowhere, o.Stands
		s.stands.Drawn = true
		d.highest = terrain.Standing{Class: max(d.highest.Class, o.Stands.Class),
			HeightM: max(d.highest.HeightM, o.Stands.HeightM)}
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
	d.cells.build(d.shapes)
	return d, nil
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
	w := d.cells.walk()
	for i, p := range at {
		x, y := p[0], p[1]
		if x > 180 || x < -180 {
			x = math.Remainder(x, 360)
		}
		if !w.hold(x, y) {
			continue
		}
		cell := w.cell(d.cells.col(x), d.cells.row(y))
		if cell < 0 {
			continue
		}
		top := w.over[cell] // one more than the index of a shape: the later lies over the earlier
		for _, k := range w.list[w.begin[cell]:w.begin[cell+1]] {
			if is := w.edges[k].shape; is >= top && d.shapes[is].holds(x, y) {
				top = is + 1
			}
		}
		if top > 0 {
			out[i] = d.shapes[top-1].stands
		}
	}
}

// Alone implements [terrain.Outlined].
func (d *drawn) Alone() bool { return d.under == nil }

// atOnce is how many sides of a way are looked at together.
const atOnce = 8

// Crossings implements [terrain.Outlined].
func (d *drawn) Crossings(places []orb.Point, out []float64) []float64 {
	w := d.cells.walk()
	for i := 1; i < len(places); i += atOnce {
		some := places[i-1 : min(i+atOnce, len(places))]
		around := nowhere
		for _, p := range some {
			around.add(p[0], p[1])
		}
		wide := around.east-around.west > 180 // across longitude 180
		if !wide && (!around.meets(&d.cells.bounds) || d.cells.empty(&around)) {
			continue
		}
		w.from(some[0])
		for k := 1; k < len(some); k++ {
			line, at := side{some[k-1][0], some[k-1][1], some[k][0], some[k][1]}, float64(i+k-2)
			if x := line.x1 - line.x0; wide && math.Abs(x) > 180 { // once more on the other side
				turn := math.Copysign(360, x)
				line.x1 -= turn
				out = w.crossings(&line, at, out)
				line.x0, line.x1 = line.x0+turn, some[k][0]
				w.from(orb.Point{line.x0, line.y0})
			}
			out = w.crossings(&line, at, out)
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
	s.Class, s.HeightM = max(s.Class, d.highest.Class), max(s.HeightM, d.highest.HeightM)
	return s
}
