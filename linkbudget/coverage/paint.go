package coverage

import (
	"image"
	"image/color"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Paint is how the cells of an area are coloured for a quantity, as the methods Paint of
// [Raster] and [Combined] make it: one put together by hand draws nothing. Several
// goroutines may use it at once.
type Paint struct {
	*Raster
	// Scale is that of the colours, nil where each stands for a pole.
	Scale *Scale
	// Samples are the colours and patterns that Scale does not explain.
	Samples []Sample
	colour  func(x, y, i int) color.RGBA // of a pixel of a cell that was judged
	area    func(i int) int              // the area that a cell belongs to, 0 for none
}

// Sample is a colour or pattern with its meaning.
type Sample struct {
	Name   string
	Colour func(x, y int) color.RGBA
}

var notJudged = Sample{"not judged", hatch}

// Paint returns the colours of a quantity, of the viridis palette, cells that could not be
// judged hatched in grey. The error is that of Check, or of a quantity that one pole, or a raster of
// whole per cent, lacks.
func (r *Raster) Paint(q Quantity) (*Paint, error) {
	if err := r.Check(); err != nil {
		return nil, err
	}
	if err := r.checkHas(q, "picture"); err != nil {
		return nil, err
	}
	scale := scaleOf(q)
	return &Paint{Raster: r, Scale: &scale, Samples: []Sample{notJudged},
		colour: func(_, _, i int) color.RGBA {
			if v, ok := q.Of(r.Cell(i)); ok {
				return scale.Colour(v)
			}
			return scale.Colour(scale.High) // the foot of the pole
		},
		area: func(i int) int {
			if r.Verdict(r.Cell(i)) == linkbudget.Reaches {
				return 1
			}
			return 0
		},
	}, nil
}

// Pixel is the colour of a pixel of cell i, false where the cell lies beyond what was asked
// for. Patterns go by the pixel's x and y. light is what the ground throws back, see
// [Light], NaN for no shade.
func (p *Paint) Pixel(x, y, i int, light float64) (color.RGBA, bool) {
	if p.colour == nil || i < 0 || i >= p.Cols*p.Rows {
		return color.RGBA{}, false
	}
	state := p.Cell(i).State()
	switch {
	case state == Beyond:
		return color.RGBA{}, false
	case state.Unjudged():
		return hatch(x, y), true
	case light != light:
		return p.colour(x, y, i), true
	}
	return dim(p.colour(x, y, i), light), true
}

// Borders draws a line so many pixels wide on the inner edge of what is reached with the
// wanted probability, or between the areas of the poles. cell is that of a pixel, below 0
// for none.
func (p *Paint) Borders(m *image.RGBA, wide int, cell func(x, y int) int) {
	if p.area == nil || m == nil || m.Rect.Empty() || cell == nil {
		return
	}
	size := m.Bounds().Size()
	areas := make([]int, size.X*size.Y)
	for k := range areas {
		if i := cell(k%size.X, k/size.X); i >= 0 && i < p.Cols*p.Rows {
			areas[k] = p.area(i)
		}
	}
	for k, n := range areas {
		if n == 0 {
			continue
		}
		x, y := k%size.X, k/size.X
		for d := 1; d <= wide; d++ {
			if x < d || y < d || x+d >= size.X || y+d >= size.Y || areas[k-d] != n || areas[k+d] != n ||
				areas[k-d*size.X] != n || areas[k+d*size.X] != n {
				m.SetRGBA(x, y, ink)
				break
			}
		}
	}
}

// hatch is a pattern of diagonal lines that no data has.
func hatch(x, y int) color.RGBA {
	if (x+y)%8 < 3 {
		return unknownB
	}
	return unknownA
}

// dim shades a colour, so little that it is still found in the legend.
func dim(c color.RGBA, light float64) color.RGBA {
	f := 0.7 + 0.3*light
	return color.RGBA{uint8(float64(c.R) * f), uint8(float64(c.G) * f), uint8(float64(c.B) * f), 255}
}

// Hillshade is the part of light from the north-west, 45 degrees up, that the ground throws
// back at every post, 0 to 1, row by row from the north; NaN where the ground is not known.
// The ground counts as twice as steep as it is. The error is of the lattice, or of terrain
// that could not be read ([terrain.ErrRead]).
func Hillshade(dem terrain.DEM, l terrain.Lattice) ([]float64, error) {
	if err := checkCells(l, l.Cols*l.Rows); err != nil {
		return nil, err
	}
	if dem == nil {
		return nil, fault.Input("coverage: hillshade: no terrain given")
	}
	s := shade{r: l, dem: dem}
	all := make([]float64, 0, l.Cols*l.Rows)
	for row := range l.Rows {
		light, err := s.row(row)
		if err != nil {
			return nil, err
		}
		for c, h := range s.at {
			if h != h {
				light[c] = h
			}
		}
		all = append(all, light...)
	}
	return all, nil
}

// shade is a hillshade, row by row: the part of light that ground facing the
// north-west at 45 degrees throws back.
type shade struct {
	r              terrain.Lattice
	dem            terrain.DEM
	above, at, low []float64 // of the row before the last one asked for, of that one, and below
	places         []orb.Point
	flag           []terrain.Flag
	light          []float64 // of the last row
}

// next makes the heights of a row the lowest.
func (s *shade) next(row int) error {
	s.above, s.at, s.low = s.at, s.low, s.above
	if row >= s.r.Rows {
		copy(s.low, s.at)
		return nil
	}
	for c := range s.places {
		s.places[c] = s.r.Post(c, row)
	}
	err := terrain.HeightsOf(s.dem, s.places, s.low, s.flag)
	for i, f := range s.flag {
		if !f.Known() {
			s.low[i] = math.NaN()
		}
	}
	return err
}

// row returns the light of a row, good until the next is asked for, nil without terrain. Any may be
// the first; after that they come in turn.
func (s *shade) row(row int) ([]float64, error) {
	if s.dem == nil {
		return nil, nil
	}
	first := row + 1
	if s.light == nil {
		n := s.r.Cols
		s.above, s.at, s.low, s.light = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
		s.places, s.flag = make([]orb.Point, n), make([]terrain.Flag, n)
		first = max(row-1, 0)
		if row == 0 { // above the first row it goes on as in the first
			if err := s.next(0); err != nil {
				return nil, err
			}
		}
	}
	for r := first; r <= row+1; r++ {
		if err := s.next(r); err != nil {
			return nil, err
		}
	}
	perLat := s.r.StepLatDeg * metresPerDegree
	perLon := s.r.StepLonDeg * metresPerDegree * math.Cos((s.r.NorthDeg-float64(row)*s.r.StepLatDeg)*math.Pi/180)
	for c := range s.light {
		w, e := max(c-1, 0), min(c+1, s.r.Cols-1)
		s.light[c] = Light(Rise(s.at[w], s.at[c], s.at[e])/perLon, Rise(s.above[c], s.at[c], s.low[c])/perLat)
	}
	return s.light, nil
}

// Light is what ground that rises so much to the east and to the south, m per m, throws back
// of light from the north-west at 45 degrees, 0 to 1, drawn twice as steep as it is, so
// that low hills show too.
func Light(east, south float64) float64 {
	east, south = 2*east, 2*south
	// Normal (-east, south, 1) in east, north, up.
	v := (0.5*east + 0.5*south + math.Sqrt2/2) / math.Sqrt(1+east*east+south*south)
	return min(max(v, 0)*1.2, 1)
}

// Rise is that from one post to the next, m, by the neighbours on both sides, or by the
// one that is known; 0 where that says nothing. NaN is a height that is not known.
func Rise(before, here, after float64) float64 {
	switch {
	case before == before && after == after:
		return (after - before) / 2
	case here != here:
		return 0
	case after == after:
		return after - here
	case before == before:
		return here - before
	}
	return 0
}
