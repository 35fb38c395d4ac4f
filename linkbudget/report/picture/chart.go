package picture

import (
	"image"
	"image/color"
	"math"

	"github.com/paulmach/orb"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// chart is ground drawn true to shape, north up: distances and directions from its middle
// are those on the ellipsoid (azimuthal equidistant projection), so that a metre is as long
// to the east as to the north.
type chart struct {
	middle       orb.Point
	pixel        float64 // points a pixel of the image under it takes
	cols, rows   int     // of that image
	pixelM       float64 // on the ground
	halfE, halfN float64 // m
	canvas       draw.Canvas
	taken        []vg.Rectangle // no name may stand there
	lines        [][2]vg.Point  // names had better not
	left         int            // names there was no room for
}

const (
	chartWidth = 7*vg.Inch - 2*framePad
	chartPixel = 1.5 // points; enough for a hillshade, and SVG holds images as they are
	stripRow   = 22  // points under a chart for scale and north
	// Of the height of a chart to its width.
	leastAspect, mostAspect = 0.5, 1.25
)

// newChart holds all places with room round them: share of their extent, and at least leastM.
func newChart(places []orb.Point, share, leastM float64) *chart {
	c := &chart{middle: places[0], pixel: chartPixel}
	for range 2 { // the second time about the middle of the first
		low, high := orb.Point{math.Inf(1), math.Inf(1)}, orb.Point{math.Inf(-1), math.Inf(-1)}
		for _, p := range places {
			e, n := c.metres(p)
			low = orb.Point{min(low[0], e), min(low[1], n)}
			high = orb.Point{max(high[0], e), max(high[1], n)}
		}
		e, n := (low[0]+high[0])/2, (low[1]+high[1])/2
		c.middle = terrain.Destination(c.middle, math.Atan2(e, n)*180/math.Pi, math.Hypot(e, n))
		c.halfE, c.halfN = (high[0]-low[0])/2, (high[1]-low[1])/2
	}
	room := max(share*max(c.halfE, c.halfN), leastM)
	c.fit(c.halfE+room, c.halfN+room)
	return c
}

// fit makes the chart hold so much, m from its middle, in a bearable shape.
func (c *chart) fit(halfE, halfN float64) {
	halfE = max(halfE, halfN/mostAspect)
	halfN = max(halfN, halfE*leastAspect)
	c.cols = int(float64(chartWidth) / c.pixel)
	c.pixelM = 2 * halfE / float64(c.cols)
	c.rows = min(int(math.Ceil(2*halfN/c.pixelM)), int(mostAspect*float64(c.cols))+1)
	c.halfE, c.halfN = float64(c.cols)*c.pixelM/2, float64(c.rows)*c.pixelM/2
}

// refine makes the pixels of the image so many points wide.
func (c *chart) refine(pixel float64) {
	c.pixel = pixel
	c.fit(c.halfE, c.halfN)
}

// height is that of the chart with the strip under it.
func (c *chart) height() vg.Length { return vg.Points(float64(c.rows)*c.pixel + stripRow) }

// metres are those to the east and the north of the middle.
func (c *chart) metres(p orb.Point) (e, n float64) {
	g := terrain.Inverse(c.middle, p)
	sin, cos := math.Sincos(g.AzimuthDeg * math.Pi / 180)
	return g.DistM * sin, g.DistM * cos
}

// place is the middle of a pixel, from the upper left one.
func (c *chart) place(x, y int) orb.Point {
	e, n := (float64(x)+0.5)*c.pixelM-c.halfE, c.halfN-(float64(y)+0.5)*c.pixelM
	return terrain.Destination(c.middle, math.Atan2(e, n)*180/math.Pi, math.Hypot(e, n))
}

// places are those of all pixels, row by row. Between every sixteenth they go straight:
// over so little ground that is exact to far less than a pixel.
func (c *chart) places() []orb.Point {
	const every = 16
	wide := (c.cols-1)/every + 2
	knots := make([]orb.Point, wide*((c.rows-1)/every+2))
	for i := range knots {
		knots[i] = c.place(i%wide*every, i/wide*every)
		knots[i][0] += 360 * math.Round((c.middle[0]-knots[i][0])/360) // in one piece
	}
	out := make([]orb.Point, c.cols*c.rows)
	for i := range out {
		x, y := i%c.cols, i/c.cols
		k := y/every*wide + x/every
		u, v := float64(x%every)/every, float64(y%every)/every
		for d := range 2 {
			out[i][d] = (1-v)*((1-u)*knots[k][d]+u*knots[k+1][d]) + v*((1-u)*knots[k+wide][d]+u*knots[k+wide+1][d])
		}
	}
	return out
}

// light is a hillshade of the pixels, 0 to 1, NaN where no ground is known; nil without terrain.
func (c *chart) light(dem terrain.DEM, places []orb.Point) ([]float64, error) {
	if dem == nil {
		return nil, nil
	}
	h, flags := make([]float64, len(places)), make([]terrain.Flag, len(places))
	for i, p := range places {
		places[i][0] = math.Remainder(p[0], 360)
	}
	if err := terrain.HeightsOf(dem, places, h, flags); err != nil {
		return nil, err
	}
	for i, f := range flags {
		if !f.Known() {
			h[i] = math.NaN()
		}
	}
	light := make([]float64, len(h))
	for i := range h {
		x, y := i%c.cols, i/c.cols
		w, e := h[i-min(x, 1)], h[i+min(c.cols-1-x, 1)]
		n, s := h[i-c.cols*min(y, 1)], h[i+c.cols*min(c.rows-1-y, 1)]
		if light[i] = math.NaN(); h[i] == h[i] {
			light[i] = coverage.Light(coverage.Rise(w, h[i], e)/c.pixelM, coverage.Rise(n, h[i], s)/c.pixelM)
		}
	}
	return light, nil
}

// greys are steps enough for a hillshade, and pale, so that lines stand out.
func greys() color.Palette {
	palette := color.Palette{color.White}
	for i := range 24 {
		v := uint8(176 + i*79/23)
		palette = append(palette, color.Gray{v})
	}
	return palette
}

// hillshade is the light as a picture; ground that is not known is white.
func (c *chart) hillshade(light []float64) image.Image {
	m := image.NewPaletted(image.Rect(0, 0, c.cols, c.rows), greys())
	for i, v := range light {
		if v == v {
			m.Pix[i] = uint8(1 + math.Round(v*23))
		}
	}
	return m
}

// begin lays the chart onto the upper part of a canvas, its scale and north below it.
func (c *chart) begin(on draw.Canvas, under image.Image) {
	size := vg.Point{X: vg.Points(float64(c.cols) * c.pixel), Y: vg.Points(float64(c.rows) * c.pixel)}
	x := (on.Min.X + on.Max.X - size.X) / 2
	c.canvas = draw.Canvas{Canvas: on.Canvas, Rectangle: vg.Rectangle{Min: vg.Point{X: x, Y: on.Max.Y - size.Y},
		Max: vg.Point{X: x + size.X, Y: on.Max.Y}}}
	if under != nil {
		c.canvas.DrawImage(c.canvas.Rectangle, under)
	}
	box := corners(c.canvas.Rectangle)
	c.canvas.StrokeLines(draw.LineStyle{Color: okabeBlack, Width: vg.Points(0.8)}, append(box, box[0]))
	c.strip()
}

// point is where a place lies on the canvas, perhaps outside.
func (c *chart) point(p orb.Point) vg.Point {
	e, n := c.metres(p)
	perM := c.pixel / c.pixelM
	mid := c.canvas.Center()
	return vg.Point{X: mid.X + vg.Points(e*perM), Y: mid.Y + vg.Points(n*perM)}
}

// strip draws the scale bar and the arrow to the north under the chart.
func (c *chart) strip() {
	barM := math.Pow(10, math.Floor(math.Log10(c.halfE/2)))
	for _, times := range []float64{5, 2} {
		if barM*times <= c.halfE/2 {
			barM *= times
			break
		}
	}
	unit, per := "m", 1.0
	if barM >= 1000 {
		unit, per = "km", 1000
	}
	wide := vg.Points(barM / c.pixelM * c.pixel)
	x, y := c.canvas.Min.X, c.canvas.Min.Y-12
	line := draw.LineStyle{Color: okabeBlack, Width: vg.Points(0.8)}
	for i := range 2 {
		from, to := x+vg.Length(i)*wide/2, x+vg.Length(i+1)*wide/2
		box := []vg.Point{{X: from, Y: y}, {X: to, Y: y}, {X: to, Y: y + 5}, {X: from, Y: y + 5}}
		if i == 0 {
			c.canvas.FillPolygon(okabeBlack, box)
		}
		c.canvas.StrokeLines(line, append(box, box[0]))
	}
	style := smallStyle
	style.YAlign = text.YCenter
	c.canvas.FillText(style, vg.Point{X: x + wide + 5, Y: y + 3}, trimmed(barM/per)+" "+unit)
	style.XAlign = text.XRight
	right := c.canvas.Max.X
	c.canvas.FillText(style, vg.Point{X: right - 14, Y: y + 3}, "N")
	c.canvas.FillPolygon(okabeBlack, []vg.Point{{X: right - 10, Y: y - 6}, {X: right - 5, Y: y + 10}, {X: right, Y: y - 6},
		{X: right - 5, Y: y - 2}})
}
