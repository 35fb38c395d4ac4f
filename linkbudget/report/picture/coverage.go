package picture

import (
	"fmt"
	"image"
	"image/color"
	"io"
	"math"

	"github.com/paulmach/orb"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Named is a place with its name.
type Named struct {
	Name string
	At   orb.Point
}

// CoverageMap is what a picture of an area shows.
type CoverageMap struct {
	Paint *coverage.Paint
	Title string
	// About says of what kind the answer is: receiver, radius, chance.
	About string
	// Poles serve the area, Others stand in it and are named.
	Poles, Others []Named
	// Terrain is that of the hillshade, nil for none.
	Terrain terrain.DEM
	// Cover is what the plan says that stands on the ground, drawn by its edges alone: the colours are of the answer.
	Cover []plan.Cover
}

// coveragePixel is the width of a pixel, points, finer than a hillshade needs.
const coveragePixel = 0.5

var (
	serverMark = draw.GlyphStyle{Color: okabeRed, Radius: vg.Points(5), Shape: thickRing{}}
	otherPole  = draw.GlyphStyle{Color: okabeBlack, Radius: vg.Points(2.5), Shape: draw.CircleGlyph{}}
)

// Coverage draws an area true to shape, as "svg" or "png", with the names of its poles, a
// scale bar, north, and the key outside of it. Its pixels have no place in a GIS: that is
// what [coverage.Picture] is for. Errors are of the format, of a map without paint or
// poles, of the terrain, or of w.
func Coverage(w io.Writer, format string, m CoverageMap) (err error) {
	defer fault.Recovered(&err)
	if m.Paint == nil || len(m.Poles) == 0 {
		return fault.Input("picture: no paint of an area, or no poles")
	}
	c := newChart(bounds(m.Paint.Lattice), 0.01, 0)
	c.refine(coveragePixel)
	d := drawing{chart: c, title: m.Title, left: m.About, scale: m.Paint.Scale}
	if d.under, err = c.painted(m.Paint, m.Terrain); err != nil {
		return err
	}
	d.uses("pole", markThumb(serverMark))
	if len(m.Others) > 0 {
		d.uses("other pole", markThumb(otherPole))
	}
	if m.Paint.Scale != nil {
		d.uses(fmt.Sprintf("line round what is reached with %g %%", m.Paint.WantPercent), lineThumb(draw.LineStyle{
			Color: okabeBlack, Width: vg.Points(1)}))
	}
	for _, s := range m.Paint.Samples {
		d.uses(clip(smallStyle, s.Name, nameWidth), swatch{s})
	}
	return d.render(w, format, func() {
		d.standing(m.Cover, false)
		for _, p := range m.Others {
			c.mark(otherPole, p.At)
		}
		for _, p := range m.Poles {
			c.mark(serverMark, p.At)
		}
		for _, p := range m.Poles {
			c.name(p.Name, p.At, serverMark.Radius)
		}
		for _, p := range m.Others {
			c.name(p.Name, p.At, otherPole.Radius)
		}
	})
}

// bounds are places on the edge of a lattice, half a cell beyond the posts.
func bounds(l terrain.Lattice) (places []orb.Point) {
	west, east := l.WestDeg-l.StepLonDeg/2, l.WestDeg+(float64(l.Cols)-0.5)*l.StepLonDeg
	north, south := l.NorthDeg+l.StepLatDeg/2, l.NorthDeg-(float64(l.Rows)-0.5)*l.StepLatDeg
	for i := range 5 {
		u := float64(i) / 4
		lon, lat := west+u*(east-west), south+u*(north-south)
		places = append(places, orb.Point{lon, south}, orb.Point{lon, north}, orb.Point{west, lat}, orb.Point{east, lat})
	}
	for i, p := range places {
		places[i] = orb.Point{math.Remainder(p[0], 360), min(max(p[1], -90), 90)}
	}
	return places
}

// painted is the area pixel by pixel.
func (c *chart) painted(paint *coverage.Paint, dem terrain.DEM) (image.Image, error) {
	places := c.places()
	light, err := c.light(dem, places)
	if err != nil {
		return nil, err
	}
	m := image.NewRGBA(image.Rect(0, 0, c.cols, c.rows))
	for i := range m.Pix {
		m.Pix[i] = 255
	}
	cells := make([]int, len(places))
	for k, p := range places {
		i, ok := paint.Index(p)
		if cells[k] = i; !ok {
			cells[k] = -1
			continue
		}
		v := math.NaN()
		if light != nil {
			v = light[k]
		}
		x, y := k%c.cols, k/c.cols
		if colour, ok := paint.Pixel(x, y, i, v); ok {
			m.SetRGBA(x, y, colour)
		}
	}
	lonM, latM := terrain.DegreeSizesM(c.middle.Lat())
	if cellM := min(paint.StepLonDeg*math.Abs(lonM), paint.StepLatDeg*latM); cellM >= 1.5*c.pixelM {
		paint.Borders(m, max(1, int(cellM/c.pixelM/4)), func(x, y int) int { return cells[y*c.cols+x] })
	}
	return m, nil
}

// swatch shows a colour and its pattern in the key.
type swatch struct{ coverage.Sample }

// Thumbnail fills the canvas.
func (s swatch) Thumbnail(c *draw.Canvas) { c.DrawImage(c.Rectangle, sampled(c.Rectangle, s.Colour)) }

func sampled(r vg.Rectangle, colour func(x, y int) color.RGBA) image.Image {
	size := r.Size()
	m := image.NewRGBA(image.Rect(0, 0, int(size.X/coveragePixel), int(size.Y/coveragePixel)))
	for y := range m.Rect.Dy() {
		for x := range m.Rect.Dx() {
			m.SetRGBA(x, y, colour(x, y))
		}
	}
	return m
}

// Heights of the bar of colours and of all that belongs to it, points.
const barHigh, barRow = 10, 38

// drawScale draws the colours of a scale with its figures, from the upper left corner.
func drawScale(c draw.Canvas, at vg.Point, s *coverage.Scale) {
	c.FillText(smallStyle, at, s.Title)
	const wide = 260
	const left = 8
	bar := vg.Rectangle{Min: vg.Point{X: at.X + left, Y: at.Y - 13 - barHigh}, Max: vg.Point{X: at.X + left + wide,
		Y: at.Y - 13}}
	c.DrawImage(bar, sampled(bar, func(x, _ int) color.RGBA {
		return s.Colour(s.Low + (s.High-s.Low)*float64(x)/(wide/coveragePixel-1))
	}))
	style := smallStyle
	style.XAlign = -0.5
	for _, v := range s.Marks {
		x := bar.Min.X + vg.Length((v-s.Low)/(s.High-s.Low)*wide)
		c.StrokeLine2(draw.LineStyle{Color: okabeBlack, Width: vg.Points(0.8)}, x, bar.Min.Y, x, bar.Min.Y-3)
		c.FillText(style, vg.Point{X: x, Y: bar.Min.Y - 3}, s.Label(v))
	}
}
