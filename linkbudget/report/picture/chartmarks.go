package picture

import (
	"image/color"
	"math"
	"strconv"

	"github.com/paulmach/orb"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// trimmed is a number without needless zeros.
func trimmed(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// stroke draws a line over the ground, on white so that it shows on dark slopes too, as far
// as it lies inside.
func (c *chart) stroke(style draw.LineStyle, places ...orb.Point) {
	points := make([]vg.Point, len(places))
	for i, p := range places {
		points[i] = c.point(p)
	}
	for _, piece := range c.canvas.ClipLinesXY(points) {
		under := draw.LineStyle{Color: color.White, Width: style.Width + vg.Points(1.6)}
		c.canvas.StrokeLines(under, piece)
		c.canvas.StrokeLines(style, piece)
		for i := 1; i < len(piece); i++ {
			c.lines = append(c.lines, [2]vg.Point{piece[i-1], piece[i]})
		}
	}
}

// mark draws a glyph at a place, if that lies inside, and keeps names off it.
func (c *chart) mark(style draw.GlyphStyle, at orb.Point) {
	p := c.point(at)
	if !c.canvas.Contains(p) {
		return
	}
	under := style
	under.Color, under.Radius = color.White, style.Radius+vg.Points(1.2)
	if _, ring := style.Shape.(thickRing); ring {
		under.Shape = draw.CircleGlyph{}
	}
	c.canvas.DrawGlyph(under, p)
	c.canvas.DrawGlyph(style, p)
	r := style.Radius + vg.Points(0.5)
	c.taken = append(c.taken, vg.Rectangle{Min: vg.Point{X: p.X - r, Y: p.Y - r}, Max: vg.Point{X: p.X + r, Y: p.Y + r}})
}

// nameWidth is the most room that a name on a chart takes.
const nameWidth = 150

// name writes the name of a mark beside it, where it covers no mark, no other name and as
// few lines as can be; not at all where there is no room.
func (c *chart) name(s string, at orb.Point, clear vg.Length) {
	p := c.point(at)
	if !c.canvas.Contains(p) {
		return
	}
	s = clip(smallStyle, s, nameWidth)
	if !c.write(s, p, clear+2) {
		c.left++
	}
}

// write puts a text beside a point at one of eight sides, the best first.
func (c *chart) write(s string, p vg.Point, off vg.Length) bool {
	const high = 11
	wide := smallStyle.Width(s) + 3
	slant := off * 0.75
	best, least := vg.Rectangle{}, math.MaxInt
	for _, low := range []vg.Point{
		{X: p.X + off, Y: p.Y - high/2}, {X: p.X - off - wide, Y: p.Y - high/2},
		{X: p.X - wide/2, Y: p.Y + off}, {X: p.X - wide/2, Y: p.Y - off - high},
		{X: p.X + slant, Y: p.Y + slant}, {X: p.X + slant, Y: p.Y - slant - high},
		{X: p.X - slant - wide, Y: p.Y + slant}, {X: p.X - slant - wide, Y: p.Y - slant - high},
	} {
		box := vg.Rectangle{Min: low, Max: vg.Point{X: low.X + wide, Y: low.Y + high}}
		if !c.canvas.Contains(box.Min) || !c.canvas.Contains(box.Max) || c.covers(box) {
			continue
		}
		if n := c.crossings(box); n < least {
			best, least = box, n
		}
	}
	if least == math.MaxInt {
		return false
	}
	c.taken = append(c.taken, best)
	c.canvas.FillPolygon(color.NRGBA{255, 255, 255, 215}, corners(best))
	c.canvas.FillText(smallStyle, vg.Point{X: best.Min.X + 1.5, Y: best.Max.Y - 0.5}, s)
	return true
}

// covers reports whether a name there would cover a mark or another one.
func (c *chart) covers(box vg.Rectangle) bool {
	for _, t := range c.taken {
		if box.Min.X < t.Max.X && t.Min.X < box.Max.X && box.Min.Y < t.Max.Y && t.Min.Y < box.Max.Y {
			return true
		}
	}
	return false
}

// crossings counts the lines that run through a box.
func (c *chart) crossings(box vg.Rectangle) (n int) {
	inside := draw.Canvas{Rectangle: box}
	for _, l := range c.lines {
		if len(inside.ClipLinesXY(l[:])) > 0 {
			n++
		}
	}
	return n
}

// thickRing is a ring that shows on any ground.
type thickRing struct{}

// DrawGlyph implements [draw.GlyphDrawer].
func (thickRing) DrawGlyph(c *draw.Canvas, style draw.GlyphStyle, at vg.Point) {
	c.SetLineStyle(draw.LineStyle{Color: style.Color, Width: style.Radius / 2})
	var p vg.Path
	r := style.Radius * 0.75
	p.Move(vg.Point{X: at.X + r, Y: at.Y})
	p.Arc(at, r, 0, 2*math.Pi)
	p.Close()
	c.Stroke(p)
}
