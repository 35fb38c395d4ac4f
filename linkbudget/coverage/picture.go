package coverage

import (
	"bufio"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
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
	// means 800.
	LeastPixels int
}

// Picture is a raster drawn north up, every cell the same number of pixels.
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
// in grey, the pole as a ring. The error is that of the terrain to shade by.
func (r *Raster) Draw(opt PictureOptions) (*Picture, error) {
	least := opt.LeastPixels
	if least <= 0 || least > 4096 {
		least = 800
	}
	zoom := max(1, int(math.Ceil(float64(least)/float64(max(r.Cols, r.Rows)))))
	width, height := r.Cols*zoom, r.Rows*zoom
	below := 0
	if opt.Legend {
		width, below = max(width, legendWidth), legendHeight
	}
	p := &Picture{image: image.NewRGBA(image.Rect(0, 0, width, height+below)), raster: r, zoom: zoom}
	fill(p.image, p.image.Bounds(), paper)
	scale := scaleOf(opt.Quantity)
	shade := newShade(r, opt.Shade)
	for row := range r.Rows {
		light, err := shade.row(row)
		if err != nil {
			return nil, err
		}
		for col := range r.Cols {
			p.cell(col, row, scale, opt.Quantity, light)
		}
	}
	p.pole()
	if opt.Legend {
		p.legend(scale, height)
	}
	return p, nil
}

func fill(m *image.RGBA, area image.Rectangle, c color.RGBA) {
	for y := area.Min.Y; y < area.Max.Y; y++ {
		for x := area.Min.X; x < area.Max.X; x++ {
			m.SetRGBA(x, y, c)
		}
	}
}

// cell draws one cell.
func (p *Picture) cell(col, row int, s scale, q Quantity, light []float64) {
	c := p.raster.Cells[row*p.raster.Cols+col]
	at := image.Rect(col*p.zoom, row*p.zoom, (col+1)*p.zoom, (row+1)*p.zoom)
	switch {
	case c.State.Unjudged():
		for y := at.Min.Y; y < at.Max.Y; y++ {
			for x := at.Min.X; x < at.Max.X; x++ {
				p.image.SetRGBA(x, y, hatch(x, y))
			}
		}
	case c.State == Beyond:
	default:
		shown := s.colour(s.high)
		if v, ok := q.Of(c); ok {
			shown = s.colour(v)
		}
		if light != nil {
			shown = dim(shown, light[col])
		}
		fill(p.image, at, shown)
	}
}

// hatch is a pattern of diagonal lines that no data has.
func hatch(x, y int) color.RGBA {
	if (x+y)%8 < 3 {
		return unknownB
	}
	return unknownA
}

func dim(c color.RGBA, light float64) color.RGBA {
	f := 0.45 + 0.55*light
	return color.RGBA{uint8(float64(c.R) * f), uint8(float64(c.G) * f), uint8(float64(c.B) * f), 255}
}

// pole marks where it stands.
func (p *Picture) pole() {
	r := p.raster
	lon := r.At[0] + 360*math.Round((r.centreLon()-r.At[0])/360)
	x := ((lon-r.WestDeg)/r.StepLonDeg + 0.5) * float64(p.zoom)
	y := ((r.NorthDeg-r.At[1])/r.StepLatDeg + 0.5) * float64(p.zoom)
	for dy := -9; dy <= 9; dy++ {
		for dx := -9; dx <= 9; dx++ {
			px, py := int(x)+dx, int(y)+dy
			if px < 0 || py < 0 || px >= r.Cols*p.zoom || py >= r.Rows*p.zoom {
				continue
			}
			switch d := math.Hypot(float64(dx), float64(dy)); {
			case d <= 2 || d >= 5 && d <= 7:
				p.image.SetRGBA(px, py, poleColor)
			case d <= 9:
				p.image.SetRGBA(px, py, paper)
			}
		}
	}
}

// WritePNG writes the picture.
func (p *Picture) WritePNG(w io.Writer) error {
	out := bufio.NewWriter(w)
	if err := png.Encode(out, p.image); err != nil {
		return fmt.Errorf("coverage: PNG: %w", err)
	}
	return out.Flush()
}

// WriteWorldFile writes the six lines that tell a GIS where the picture lies:
// size of a pixel, rotation, and the centre of the first pixel, in degrees.
func (p *Picture) WriteWorldFile(w io.Writer) error {
	r, z := p.raster, float64(p.zoom)
	west := r.WestDeg - r.StepLonDeg/2 + r.StepLonDeg/z/2
	north := r.NorthDeg + r.StepLatDeg/2 - r.StepLatDeg/z/2
	_, err := fmt.Fprintf(w, "%.12g\n0\n0\n%.12g\n%.12g\n%.12g\n", r.StepLonDeg/z, -r.StepLatDeg/z, west, north)
	return err
}

// shade is a hillshade, row by row: the part of light that ground facing the
// north-west at 45 degrees throws back.
type shade struct {
	r              *Raster
	dem            terrain.DEM
	above, at, low []float64
}

func newShade(r *Raster, dem terrain.DEM) *shade { return &shade{r: r, dem: dem} }

func (s *shade) heights(row int) ([]float64, error) {
	places, h, flag := make([]orb.Point, s.r.Cols), make([]float64, s.r.Cols), make([]terrain.Flag, s.r.Cols)
	for c := range places {
		places[c] = s.r.Post(c, row)
	}
	err := s.dem.Heights(places, h, flag)
	for i, f := range flag {
		if !f.Known() {
			h[i] = math.NaN()
		}
	}
	return h, err
}

// row returns the light of a row, nil without terrain.
func (s *shade) row(row int) ([]float64, error) {
	if s.dem == nil {
		return nil, nil
	}
	var err error
	if row == 0 {
		if s.at, err = s.heights(0); err != nil {
			return nil, err
		}
		s.low = s.at
	}
	s.above, s.at = s.at, s.low
	if row+1 < s.r.Rows {
		if s.low, err = s.heights(row + 1); err != nil {
			return nil, err
		}
	}
	if row == 0 {
		s.above = s.at
	}
	perLat := s.r.StepLatDeg * metresPerDegree
	perLon := s.r.StepLonDeg * metresPerDegree * math.Cos((s.r.NorthDeg-float64(row)*s.r.StepLatDeg)*math.Pi/180)
	light := make([]float64, s.r.Cols)
	for c := range light {
		w, e := max(c-1, 0), min(c+1, s.r.Cols-1)
		const steeper = 2 // than the ground, so that low hills show too
		east := steeper * (s.at[e] - s.at[w]) / (2 * perLon)
		south := steeper * (s.low[c] - s.above[c]) / (2 * perLat)
		// Normal (-east, south, 1) in east, north, up; light from the north-west.
		v := (0.5*east + 0.5*south + math.Sqrt2/2) / math.Sqrt(1+east*east+south*south)
		if !(v >= 0) {
			v = 0
		}
		light[c] = min(v*1.2, 1)
	}
	return light, nil
}
