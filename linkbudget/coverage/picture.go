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
	"runtime"

	"github.com/paulmach/orb"
	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// PictureOptions says what a picture shows.
type PictureOptions struct {
	Quantity Quantity
	// Shade, if set, is the terrain from which a hillshade is laid under the
	// colours, light from the north-west.
	Shade terrain.DEM
	// LeastPixels is the width up to which cells are drawn larger, 1 to 4096; 0
	// means 1200.
	LeastPixels int
	// Poles are marked with a ring; nil: the raster's own.
	Poles []orb.Point
}

// Picture is a raster drawn north up, every cell the same number of pixels. All of it has
// its place on the ground, which WriteWorldFile tells. Several goroutines may write it at once.
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

// Draw draws the cells in the colours of one quantity, a black line round the cells that are
// reached with the wanted probability, poles as rings. There is no line where a cell is one
// pixel. The error is that of the terrain to shade by, of Check, or of a quantity that one
// pole lacks.
func (r *Raster) Draw(opt PictureOptions) (*Picture, error) {
	paint, err := r.Paint(opt.Quantity)
	if err != nil {
		return nil, err
	}
	return paint.draw(opt)
}

// Draw draws the probability, who carries or the number of poles that reach, as
// [Raster.Draw] does. The error is that of the terrain to shade by, of Check, or of a
// quantity that several poles lack.
func (c *Combined) Draw(opt PictureOptions) (*Picture, error) {
	paint, err := c.Paint(opt.Quantity)
	if err != nil {
		return nil, err
	}
	return paint.draw(opt)
}

func (paint *Paint) draw(opt PictureOptions) (*Picture, error) {
	r := paint.Raster
	least := opt.LeastPixels
	if least <= 0 || least > 4096 {
		least = 1200
	}
	zoom := max(1, int(math.Ceil(float64(least)/float64(max(r.Cols, r.Rows)))))
	p := &Picture{image: image.NewRGBA(image.Rect(0, 0, r.Cols*zoom, r.Rows*zoom)), raster: r, zoom: zoom}
	fill(p.image, p.image.Bounds(), paper)
	if err := p.cells(opt.Shade, paint); err != nil {
		return nil, err
	}
	if zoom > 1 {
		paint.Borders(p.image, max(1, zoom/4), func(x, y int) int { return y/zoom*r.Cols + x/zoom })
	}
	p.poles(opt.Poles)
	return p, nil
}

func fill(m *image.RGBA, area image.Rectangle, c color.RGBA) {
	draw.Draw(m, area, image.NewUniform(c), image.Point{}, draw.Src)
}

// rowsAtOnce, of cells, are drawn by one goroutine.
const rowsAtOnce = 64

// cells draws all cells, shaded.
func (p *Picture) cells(dem terrain.DEM, paint *Paint) error {
	var group errgroup.Group
	group.SetLimit(runtime.GOMAXPROCS(0))
	for from := 0; from < p.raster.Rows; from += rowsAtOnce {
		group.Go(fault.Guarded(func() error {
			shade := shade{r: p.raster.Lattice, dem: dem}
			for row := from; row < min(from+rowsAtOnce, p.raster.Rows); row++ {
				light, err := shade.row(row)
				if err != nil {
					return err
				}
				p.row(row, light, paint)
			}
			return nil
		}))
	}
	return group.Wait()
}

// row draws the cells of one.
func (p *Picture) row(row int, light []float64, paint *Paint) {
	for y := row * p.zoom; y < (row+1)*p.zoom; y++ {
		for x := range p.raster.Cols * p.zoom {
			col, v := x/p.zoom, math.NaN()
			if light != nil {
				v = light[col]
			}
			if c, ok := paint.Pixel(x, y, row*p.raster.Cols+col, v); ok {
				p.image.SetRGBA(x, y, c)
			}
		}
	}
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

// mark sets a pixel, if it is one of the map.
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
	fast := png.Encoder{CompressionLevel: png.BestSpeed} // a third larger than by default, in a tenth of the time
	if err := fast.Encode(out, p.image); err != nil {
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

// viridis is the palette of that name by S. van der Walt and N. Smith (released
// under CC0), at nine equal steps from the published table, from memory; straight
// lines between. It is even to the eye and safe for the colour-blind.
var viridis = [9]color.RGBA{
	{68, 1, 84, 255}, {71, 45, 123, 255}, {59, 82, 139, 255}, {44, 114, 142, 255}, {33, 145, 140, 255},
	{40, 174, 128, 255}, {94, 201, 98, 255}, {173, 220, 48, 255}, {253, 231, 37, 255},
}

// colourAt returns the colour of a value from 0 to 1; beyond, that of the end.
func colourAt(v float64) color.RGBA {
	if v != v {
		v = 0 // of a scale without a length
	}
	v = min(max(v, 0), 1) * float64(len(viridis)-1)
	i := min(int(v), len(viridis)-2)
	u := v - float64(i)
	mix := func(a, b uint8) uint8 { return uint8(math.Round(float64(a) + u*(float64(b)-float64(a)))) }
	a, b := viridis[i], viridis[i+1]
	return color.RGBA{mix(a.R, b.R), mix(a.G, b.G), mix(a.B, b.B), 255}
}

// Scale is how a quantity becomes a colour.
type Scale struct {
	Title string
	// Low and High have the first and the last colour; Marks are labelled in a legend.
	Low, High float64
	Marks     []float64
	open      bool // values lie beyond both ends
}

func scaleOf(q Quantity) Scale {
	switch q {
	case Margin:
		return Scale{"margin, dB", -20, 30, []float64{-20, -10, 0, 10, 20, 30}, true}
	case Loss:
		return Scale{"path loss, dB", 170, 90, []float64{170, 150, 130, 110, 90}, true}
	}
	return Scale{"chance that the link closes, %", 0, 1, []float64{0, 0.25, 0.5, 0.75, 1}, false}
}

// Label is the figure of a mark; the ends also stand for all beyond.
func (s Scale) Label(v float64) string {
	switch {
	case s.High == 1:
		return fmt.Sprintf("%.0f", v*100)
	case s.open && v == min(s.Low, s.High):
		return fmt.Sprintf("≤%.0f", v)
	case s.open && v == max(s.Low, s.High):
		return fmt.Sprintf("≥%.0f", v)
	}
	return fmt.Sprintf("%.0f", v)
}

// Colour is that of a value; beyond the ends, of the end.
func (s Scale) Colour(v float64) color.RGBA { return colourAt((v - s.Low) / (s.High - s.Low)) }
