package coverage

import (
	"bufio"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// PictureOptions says what a picture shows.
type PictureOptions struct {
	Quantity Quantity
	// Shade, if set, is the terrain from which a hillshade is laid under the
	// colours, light from the north-west.
	Shade terrain.DEM
	// Legend adds a strip below the map. It has no place on the ground: a
	// program that reads the world file shows it south of the area.
	Legend bool
	// LeastPixels is the width up to which cells are drawn larger, 1 to 4096; 0
	// means 1200.
	LeastPixels int
	// Poles are marked with a ring; nil: the raster's own.
	Poles []orb.Point
}

// Picture is a raster drawn north up, every cell the same number of pixels.
// Several goroutines may write it at once.
type Picture struct {
	image  *image.RGBA
	raster *Raster
	zoom   int
}

var (
	paper     = color.RGBA{255, 255, 255, 255}
	ink       = color.RGBA{0, 0, 0, 255}
	unknownA  = color.RGBA{200, 200, 200, 255} // hatched with the next
	unknownB  = color.RGBA{150, 150, 150, 255}
	poleColor = color.RGBA{213, 94, 0, 255} // vermillion of Okabe and Ito
)

// Draw draws one quantity: colours of the viridis palette, unknown cells hatched
// in grey, a black line round the cells that are reached with the wanted
// probability, poles as rings. There is no line where a cell is one pixel. The
// error is that of the terrain to shade by, of Check, or of a quantity that one pole lacks.
func (r *Raster) Draw(opt PictureOptions) (*Picture, error) {
	if err := r.Check(); err != nil {
		return nil, err
	}
	if opt.Quantity > Loss {
		return nil, fault.Input("coverage: picture: %s of one pole has no meaning; allowed probability, margin, loss",
			opt.Quantity)
	}
	scale := scaleOf(opt.Quantity)
	p := newPicture(r, opt, legendHeight)
	err := p.cells(opt.Shade, func(_, _, i int) color.RGBA {
		if v, ok := opt.Quantity.Of(r.Cells[i]); ok {
			return scale.colour(v)
		}
		return scale.colour(scale.high) // the foot of the pole
	})
	if err != nil {
		return nil, err
	}
	p.outline(func(i int) bool { return r.Verdict(r.Cells[i]) == linkbudget.Reaches })
	p.poles(opt.Poles)
	if opt.Legend {
		p.legend(scale, r.Rows*p.zoom)
	}
	return p, nil
}

// newPicture is an empty one, with room for a legend below if one is wanted.
func newPicture(r *Raster, opt PictureOptions, legend int) *Picture {
	least := opt.LeastPixels
	if least <= 0 || least > 4096 {
		least = 1200
	}
	zoom := max(1, int(math.Ceil(float64(least)/float64(max(r.Cols, r.Rows)))))
	width, height := r.Cols*zoom, r.Rows*zoom
	if opt.Legend {
		width, height = max(width, legendWidth), height+legend
	}
	p := &Picture{image: image.NewRGBA(image.Rect(0, 0, width, height)), raster: r, zoom: zoom}
	fill(p.image, p.image.Bounds(), paper)
	return p
}

func fill(m *image.RGBA, area image.Rectangle, c color.RGBA) {
	draw.Draw(m, area, image.NewUniform(c), image.Point{}, draw.Src)
}

// cells draws all cells, shaded; colour is asked for a pixel of a judged one.
func (p *Picture) cells(dem terrain.DEM, colour func(x, y, i int) color.RGBA) error {
	shade := shade{r: p.raster, dem: dem}
	for row := range p.raster.Rows {
		light, err := shade.row(row)
		if err != nil {
			return err
		}
		for y := row * p.zoom; y < (row+1)*p.zoom; y++ {
			for x := range p.raster.Cols * p.zoom {
				col := x / p.zoom
				i := row*p.raster.Cols + col
				switch state := p.raster.Cells[i].State(); {
				case state.Unjudged():
					p.image.SetRGBA(x, y, hatch(x, y))
				case state == Beyond:
				case light == nil:
					p.image.SetRGBA(x, y, colour(x, y, i))
				default:
					p.image.SetRGBA(x, y, dim(colour(x, y, i), light[col]))
				}
			}
		}
	}
	return nil
}

// outline draws a line on the inner edge of all cells that are inside.
func (p *Picture) outline(inside func(i int) bool) {
	p.borders(func(i int) int {
		if inside(i) {
			return 1
		}
		return 0
	})
}

// borders draws a line on the inner edge of every area of one number above 0;
// none where a cell is one pixel.
func (p *Picture) borders(number func(i int) int) {
	r, z := p.raster, p.zoom
	if z < 2 {
		return
	}
	wide := max(1, z/4)
	for row := range r.Rows {
		for col := range r.Cols {
			n := number(row*r.Cols + col)
			if n == 0 {
				continue
			}
			differs := func(col, row int) bool {
				return col < 0 || row < 0 || col >= r.Cols || row >= r.Rows || number(row*r.Cols+col) != n
			}
			x, y := col*z, row*z
			for _, side := range [4]struct {
				col, row int
				line     image.Rectangle
			}{
				{col - 1, row, image.Rect(x, y, x+wide, y+z)}, {col + 1, row, image.Rect(x+z-wide, y, x+z, y+z)},
				{col, row - 1, image.Rect(x, y, x+z, y+wide)}, {col, row + 1, image.Rect(x, y+z-wide, x+z, y+z)},
			} {
				if differs(side.col, side.row) {
					fill(p.image, side.line, ink)
				}
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

// poles marks where they stand, in the order given.
func (p *Picture) poles(at []orb.Point) {
	if at == nil {
		at = []orb.Point{p.raster.At}
	}
	for _, place := range at {
		x, y := p.pixel(place)
		for dy := -9; dy <= 9; dy++ {
			for dx := -9; dx <= 9; dx++ {
				switch d := math.Hypot(float64(dx), float64(dy)); {
				case d <= 2 || d >= 5 && d <= 7:
					p.mark(x+dx, y+dy, poleColor)
				case d <= 9:
					p.mark(x+dx, y+dy, paper)
				}
			}
		}
	}
}

// pixel is where a place lies, perhaps outside.
func (p *Picture) pixel(at orb.Point) (x, y int) {
	r := p.raster
	lon := at[0] + 360*math.Round((r.centreLon()-at[0])/360)
	return int(math.Floor(((lon-r.WestDeg)/r.StepLonDeg + 0.5) * float64(p.zoom))),
		int(math.Floor(((r.NorthDeg-at[1])/r.StepLatDeg + 0.5) * float64(p.zoom)))
}

// mark sets a pixel of the map, not of the legend.
func (p *Picture) mark(x, y int, c color.RGBA) {
	if x >= 0 && y >= 0 && x < p.raster.Cols*p.zoom && y < p.raster.Rows*p.zoom {
		p.image.SetRGBA(x, y, c)
	}
}

// WritePNG writes the picture.
func (p *Picture) WritePNG(w io.Writer) error {
	if p.image == nil {
		return fault.Input("coverage: PNG: found a picture that Draw has not made")
	}
	out := bufio.NewWriter(w)
	if err := png.Encode(out, p.image); err != nil {
		return fmt.Errorf("coverage: PNG: %w", err)
	}
	return out.Flush()
}

// WriteWorldFile writes the six lines that tell a GIS where the picture lies:
// size of a pixel, rotation, and the centre of the first pixel, in degrees.
func (p *Picture) WriteWorldFile(w io.Writer) error {
	if p.image == nil {
		return fault.Input("coverage: world file: found a picture that Draw has not made")
	}
	r, z := p.raster, float64(p.zoom)
	west := r.WestDeg - r.StepLonDeg/2 + r.StepLonDeg/z/2
	north := r.NorthDeg + r.StepLatDeg/2 - r.StepLatDeg/z/2
	_, err := fmt.Fprintf(w, "%.15g\n0\n0\n%.15g\n%.15g\n%.15g\n", r.StepLonDeg/z, -r.StepLatDeg/z, west, north)
	return err
}
