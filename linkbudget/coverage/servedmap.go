package coverage

import (
	"image/color"

	"github.com/polereach/polereach/terrain"
)

// Of returns a quantity of a cell that several poles may serve, and false where
// it has none.
func (s Served) Of(q Quantity) (float64, bool) {
	if s.State != Judged {
		return 0, false
	}
	switch q {
	case Probability:
		return float64(s.Any), true
	case Who:
		return float64(s.server()), true
	case HowMany:
		return float64(s.Heard), true
	}
	return 0, false
}

// server is the number of the pole that serves a cell, from 1; 0: none reaches.
func (s Served) server() int {
	if s.State != Judged || s.Heard == 0 {
		return 0
	}
	return int(s.Best) + 1
}

// Grid returns one quantity as a grid, to be written as a raster file:
// probabilities in per cent, see [Raster.Grid], poles as whole
// numbers. What is not judged is a void.
func (c *Combined) Grid(q Quantity) *terrain.Grid {
	if c.Check() != nil {
		return &terrain.Grid{}
	}
	return gridOf(c.Lattice, q, func(i int) (float64, bool) { return c.Cells[i].Of(q) })
}

// Colours of Okabe and Ito ("Color Universal Design", 2008) for the areas of the
// poles, in an order in which neighbours differ in lightness too.
var serverColours = [7]color.RGBA{
	{230, 159, 0, 255}, {0, 114, 178, 255}, {240, 228, 66, 255}, {0, 158, 115, 255},
	{86, 180, 233, 255}, {213, 94, 0, 255}, {204, 121, 167, 255},
}

// unserved is where no pole reaches.
var unserved = color.RGBA{228, 228, 228, 255}

// serverColour is that of a pole's area, from 1: seven colours, four patterns,
// so that the first 28 differ, most of them in both.
func serverColour(n, x, y int) color.RGBA {
	if n == 0 {
		return unserved
	}
	c := serverColours[(n-1)%len(serverColours)]
	const every, wide = 8, 2
	row, col := y%every < wide, x%every < wide
	if on := [4]bool{false, row, col, row && col || x%every/wide == 2 && y%every/wide == 2}[(n-1)%4]; on {
		return color.RGBA{c.R / 4 * 3, c.G / 4 * 3, c.B / 4 * 3, 255}
	}
	return c
}

// Paint returns the colours of a quantity. The areas of the best poles differ in colour and
// pattern; where poles are counted, more is lighter. The error is that of Check, or of a
// quantity that several poles lack.
func (c *Combined) Paint(q Quantity) (*Paint, error) {
	if err := q.checkSeveral("picture"); err != nil {
		return nil, err
	}
	if err := c.Check(); err != nil {
		return nil, err
	}
	r := c.AsRaster(nil)
	if q == Probability {
		return r.Paint(q)
	}
	p := &Paint{Raster: r}
	nobody := Sample{"nobody reaches", func(int, int) color.RGBA { return unserved }}
	if q == Who {
		p.colour = func(x, y, i int) color.RGBA { return serverColour(c.Cells[i].server(), x, y) }
		p.area = func(i int) int { return c.Cells[i].server() }
		for i, name := range c.Names {
			p.Samples = append(p.Samples, Sample{name, func(x, y int) color.RGBA { return serverColour(i+1, x, y) }})
		}
		p.Samples = append(p.Samples, nobody, notJudged)
		return p, nil
	}
	p.Scale = c.countScale()
	p.colour = func(x, y, i int) color.RGBA {
		if s := c.Cells[i]; s.Heard > 0 {
			return p.Scale.Colour(float64(s.Heard))
		}
		return unserved
	}
	p.area = func(i int) int { return min(int(c.Cells[i].Heard), 1) }
	p.Samples = []Sample{nobody, notJudged}
	return p, nil
}

// countScale colours numbers of poles that reach, from 1.
func (c *Combined) countScale() *Scale {
	most := 2
	for _, s := range c.Cells {
		most = max(most, int(s.Heard))
	}
	s := &Scale{Title: "how many poles", Low: 1, High: float64(most)}
	for v := 1; v <= most; v += (most + 7) / 8 {
		s.Marks = append(s.Marks, float64(v))
	}
	return s
}
