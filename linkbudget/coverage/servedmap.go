package coverage

import (
	"image"
	"image/color"
	"strconv"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
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
// probabilities rounded down to four decimals, see [Raster.Grid], poles as whole
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

// Draw draws the probability, who carries or the number of poles that reach.
// Poles bear their numbers, from 1 in the order of opt.Poles, which should be that
// of the rasters. The areas of the best poles differ in colour and pattern and
// have a line between them; where poles are counted, more is lighter. The error
// is that of the terrain to shade by, or of a quantity that several poles lack.
func (c *Combined) Draw(opt PictureOptions) (*Picture, error) {
	if !opt.Quantity.OfSeveral() {
		return nil, fault.Input("coverage: picture: %s of several poles together has no meaning; "+
			"allowed probability, who, how-many", opt.Quantity)
	}
	if err := c.Check(); err != nil {
		return nil, err
	}
	r := c.AsRaster(&Raster{})
	if len(opt.Poles) > 0 {
		r.At = opt.Poles[0]
	}
	if opt.Quantity == Probability {
		p, err := r.Draw(opt)
		if err == nil {
			p.numbers(opt)
		}
		return p, err
	}
	p := newPicture(r, opt, c.legendHeight(opt.Quantity))
	counts := c.countScale()
	err := p.cells(opt.Shade, func(x, y, i int) color.RGBA {
		switch s := c.Cells[i]; {
		case opt.Quantity == Who:
			return serverColour(s.server(), x, y)
		case s.Heard > 0:
			return counts.colour(float64(s.Heard))
		}
		return unserved
	})
	if err != nil {
		return nil, err
	}
	if opt.Quantity == HowMany {
		p.outline(func(i int) bool { return c.Cells[i].Heard > 0 })
	} else {
		p.borders(func(i int) int { return c.Cells[i].server() })
	}
	p.poles(opt.Poles)
	p.numbers(opt)
	switch top := c.Rows * p.zoom; {
	case opt.Legend && opt.Quantity == HowMany:
		p.legend(counts, top)
		p.sample(36+320+70, top+66, "nobody reaches", func(int, int) color.RGBA { return unserved })
	case opt.Legend:
		c.serverLegend(p, top)
	}
	return p, nil
}

// countScale colours numbers of poles that reach, from 1.
func (c *Combined) countScale() scale {
	most := 2
	for _, s := range c.Cells {
		most = max(most, int(s.Heard))
	}
	s := scale{low: 1, high: float64(most), title: "how many poles"}
	for v := 1; v <= most; v += (most + 7) / 8 {
		s.marks = append(s.marks, float64(v))
	}
	return s
}

// numbers writes the number of every pole beside its ring.
func (p *Picture) numbers(opt PictureOptions) {
	for i, at := range opt.Poles {
		x, y := p.pixel(at)
		label := strconv.Itoa(i + 1)
		wide := len(label) * glyphAdvance
		if x += 12; x+wide+2 >= p.raster.Cols*p.zoom {
			x -= wide + 26
		}
		y = min(max(y-7, 2), p.raster.Rows*p.zoom-18)
		if x < 2 || y < 2 {
			continue // beside the map, or no room in it
		}
		fill(p.image, image.Rect(x-2, y-2, x+wide, y+16), paper)
		text(p.image, x, y, label)
	}
}

// Samples of the best poles stand in columns.
const sampleColumn, sampleRow = 110, 24

func (c *Combined) legendHeight(q Quantity) int {
	if q == HowMany {
		return legendHeight
	}
	perRow := legendWidth/sampleColumn - 1
	return 40 + sampleRow*((len(c.Names)+perRow-1)/perRow+1)
}

func (c *Combined) serverLegend(p *Picture, top int) {
	text(p.image, 36, top+10, "who carries here")
	perRow := legendWidth/sampleColumn - 1
	y := top + 36
	for i := range c.Names {
		p.sample(36+i%perRow*sampleColumn, y+i/perRow*sampleRow, strconv.Itoa(i+1),
			func(x, y int) color.RGBA { return serverColour(i+1, x, y) })
	}
	y += (len(c.Names) + perRow - 1) / perRow * sampleRow
	p.sample(36, y, "nobody reaches", func(int, int) color.RGBA { return unserved })
	p.sample(36+3*sampleColumn, y, "not judged", hatch)
}
