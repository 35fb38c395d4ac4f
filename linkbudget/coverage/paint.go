package coverage

import (
	"image"
	"image/color"

	"github.com/polereach/polereach/linkbudget"
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
