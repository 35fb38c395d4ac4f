package picture

import (
	"bufio"
	"fmt"
	"image/color"
	"io"
	"strings"

	"golang.org/x/image/font"
	"gonum.org/v1/plot"
	vgfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/plan"
)

// Formats are the formats of every picture.
var Formats = []string{"svg", "png"}

// Colours of Okabe and Ito, told apart by every eye; whatever has one has a dash or a
// mark of its own besides.
var (
	okabeBlack  = color.RGBA{0, 0, 0, 255}
	okabeOrange = color.RGBA{230, 159, 0, 255}
	okabeGreen  = color.RGBA{0, 158, 115, 255}
	okabeBlue   = color.RGBA{0, 114, 178, 255}
	okabeRed    = color.RGBA{213, 94, 0, 255}
	groundGrey  = color.RGBA{190, 190, 190, 255}
)

// dashed, dotted and dashDotted are the patterns of lines.
var (
	dashed     = []vg.Length{vg.Points(6), vg.Points(3)}
	dotted     = []vg.Length{vg.Points(2), vg.Points(2)}
	dashDotted = []vg.Length{vg.Points(6), vg.Points(2), vg.Points(1), vg.Points(2)}
)

const pictureDPI = 96

// render draws on a canvas of this size and writes it in the format.
func render(w io.Writer, format string, width, height vg.Length, fill func(draw.Canvas) error) error {
	var canvas interface {
		vg.CanvasSizer
		io.WriterTo
	}
	switch format {
	case "svg":
		canvas = vgsvg.New(width, height)
	case "png":
		canvas = letters{vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(width, height), vgimg.UseDPI(pictureDPI))}}
	default:
		return fmt.Errorf("picture: found format %q, allowed svg, png", format)
	}
	c := draw.New(canvas)
	c.FillPolygon(color.White, corners(c.Rectangle))
	if err := fill(c); err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	if _, err := canvas.WriteTo(out); err != nil {
		return fmt.Errorf("picture: %w", err)
	}
	return out.Flush()
}

// letters draws texts letter by letter: golang.org/x/image/font/opentype moves pairs such as
// "Ta" together as if every font had 32 pixels to the em.
type letters struct{ vgimg.PngCanvas }

// FillString implements [vg.Canvas].
func (c letters) FillString(f vgfont.Face, at vg.Point, s string) {
	for _, r := range s {
		c.PngCanvas.FillString(f, at, string(r))
		at.X += f.Width(string(r))
	}
}

func corners(r vg.Rectangle) []vg.Point {
	return []vg.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
}

// lettering is the style of text of a size in points.
func lettering(size float64, weight font.Weight) text.Style {
	f := plot.DefaultFont
	f.Variant, f.Size, f.Weight = "Sans", vg.Points(size), weight
	return text.Style{Color: okabeBlack, Font: f, YAlign: text.YTop, Handler: plot.DefaultTextHandler}
}

// newPlot is an empty plot in the style of all pictures.
func newPlot() *plot.Plot {
	p := plot.New()
	p.Title.TextStyle.Font.Variant = "Sans"
	p.Legend.TextStyle.Font.Variant = "Sans"
	for _, axis := range []*plot.Axis{&p.X, &p.Y} {
		axis.Label.TextStyle.Font.Variant, axis.Label.TextStyle.Font.Size = "Sans", vg.Points(10)
		axis.Tick.Label.Font.Variant, axis.Tick.Label.Font.Size = "Sans", vg.Points(9)
	}
	return p
}

// frame is what stands round a drawing, so that nothing is written over it: above a title
// and what belongs to its sides, below the key and notes.
type frame struct {
	title, left, right string
	scale              *coverage.Scale // of the colours, nil for none
	key                []keyed
	notes              []note
}

// keyed is an entry of the key.
type keyed struct {
	name   string
	thumbs []plot.Thumbnailer
}

// note is a sentence, of the mark in front of it if it has a shape.
type note struct {
	mark draw.GlyphStyle
	text string
}

var (
	titleStyle = lettering(12, font.WeightBold)
	smallStyle = lettering(9, font.WeightNormal)
)

const (
	framePad   = 6  // points round everything
	titleRow   = 17 // points a line takes
	smallRow   = 12
	thumbWidth = 22
	markWidth  = 17
)

// above and below are the room that a frame takes of a picture.
func (f *frame) above() vg.Length {
	high := framePad + titleRow
	if f.left != "" || f.right != "" {
		high += smallRow
	}
	return vg.Points(float64(high))
}

func (f *frame) below(width vg.Length) vg.Length {
	rows := f.keyRows(width)
	high := float64(2*framePad + len(rows)*smallRow)
	if f.scale != nil {
		high += barRow
	}
	for _, n := range f.notes {
		high += float64(smallRow * len(n.lines(width)))
	}
	return vg.Points(high)
}

// draw writes all of it and returns what is left for the drawing.
func (f *frame) draw(c draw.Canvas) draw.Canvas {
	inside := draw.Crop(c, framePad, -framePad, 0, -framePad)
	width := c.Max.X - c.Min.X
	wide := inside.Max.X - inside.Min.X
	y := inside.Max.Y
	c.FillText(titleStyle, vg.Point{X: inside.Min.X, Y: y}, clip(titleStyle, f.title, wide))
	y -= vg.Points(titleRow)
	if f.left != "" || f.right != "" {
		right := smallStyle
		right.XAlign = text.XRight
		half := wide
		if f.right != "" {
			half *= 0.49
		}
		c.FillText(smallStyle, vg.Point{X: inside.Min.X, Y: y}, clip(smallStyle, f.left, half))
		c.FillText(right, vg.Point{X: inside.Max.X, Y: y}, clip(smallStyle, f.right, half))
	}
	y = c.Min.Y + f.below(width) - framePad
	if f.scale != nil {
		drawScale(c, vg.Point{X: inside.Min.X, Y: y}, f.scale)
		y -= barRow
	}
	for _, row := range f.keyRows(width) {
		x := inside.Min.X
		for _, k := range row {
			box := draw.Canvas{Canvas: c.Canvas, Rectangle: vg.Rectangle{Min: vg.Point{X: x, Y: y - 9},
				Max: vg.Point{X: x + thumbWidth - 4, Y: y - 1}}}
			for _, t := range k.thumbs {
				t.Thumbnail(&box)
			}
			c.FillText(smallStyle, vg.Point{X: x + thumbWidth, Y: y}, k.name)
			x += k.width()
		}
		y -= smallRow
	}
	for _, n := range f.notes {
		x := inside.Min.X
		if n.mark.Shape != nil {
			c.DrawGlyphNoClip(n.mark, vg.Point{X: x + markWidth/2, Y: y - 5.5})
			x += markWidth
		}
		for _, line := range n.lines(width) {
			c.FillText(smallStyle, vg.Point{X: x, Y: y}, line)
			y -= smallRow
		}
	}
	return draw.Crop(c, framePad, -framePad, f.below(width), -f.above())
}

func (k keyed) width() vg.Length { return thumbWidth + smallStyle.Width(k.name) + 14 }

// keyRows breaks the key into rows of a picture so wide.
func (f *frame) keyRows(width vg.Length) (rows [][]keyed) {
	var x vg.Length
	for _, k := range f.key {
		if len(rows) == 0 || x+k.width() > width-2*framePad+14 {
			rows, x = append(rows, nil), 0
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], k)
		x += k.width()
	}
	return rows
}

// lines breaks a note between words.
func (n note) lines(width vg.Length) (lines []string) {
	width -= 2 * framePad
	if n.mark.Shape != nil {
		width -= markWidth
	}
	line := ""
	for _, word := range strings.Fields(plan.Visible(n.text)) {
		word = clip(smallStyle, word, width)
		longer := strings.TrimPrefix(line+" "+word, " ")
		if line != "" && smallStyle.Width(longer) > width {
			lines, longer = append(lines, line), word
		}
		line = longer
	}
	return append(lines, line)
}

// clip shortens a text that is wider than there is room for, and spells out what is not seen.
func clip(style text.Style, s string, width vg.Length) string {
	s = strings.Join(strings.Fields(plan.Visible(s)), " ")
	if style.Width(s) <= width {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && style.Width(string(r)+"…") > width {
		r = r[:len(r)-1]
	}
	return strings.TrimRight(string(r), " ") + "…"
}

func addLine(p *plot.Plot, legend string, points plotter.XYs, c color.Color, width float64, dashes []vg.Length) error {
	line, err := newLine(points, c, width, dashes)
	if err != nil {
		return err
	}
	p.Add(line)
	if legend != "" {
		p.Legend.Add(legend, line)
	}
	return nil
}

func newLine(points plotter.XYs, c color.Color, width float64, dashes []vg.Length) (*plotter.Line, error) {
	line, err := plotter.NewLine(points)
	if err != nil {
		return nil, fmt.Errorf("picture: %w", err)
	}
	line.Color, line.Width, line.Dashes = c, vg.Points(width), dashes
	return line, nil
}
