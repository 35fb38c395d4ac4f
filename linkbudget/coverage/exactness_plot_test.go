package coverage_test

import (
	"flag"
	"fmt"
	"image/color"
	"io"
	"math"
	"os"
	"path/filepath"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

var exactnessPlot = flag.String("exactness-plot", "", "draw the differences to single paths to `FILE`.svg or .png")

// figure is one ground's row of the picture.
type figure struct {
	scene                   scene
	cells                   int
	byDistance, byDirection []bin
}

// Colours of Okabe and Ito; the lines differ in dash too.
var (
	medianBlue = color.RGBA{0, 114, 178, 255}
	bandBlue   = color.NRGBA{86, 180, 233, 110}
	limitRed   = color.RGBA{213, 94, 0, 255}
)

// drawExactness draws a row for each ground: differences by distance on the
// left, by direction on the right.
func drawExactness(path string, rows []figure) error {
	const width, rowHeight = 9.5 * vg.Inch, 2.9 * vg.Inch
	height := vg.Length(len(rows)) * rowHeight
	var canvas interface {
		vg.CanvasSizer
		io.WriterTo
	} = vgsvg.New(width, height)
	if filepath.Ext(path) == ".png" {
		canvas = vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(width, height), vgimg.UseDPI(96))}
	}
	var reach float64 // the same for all
	for _, f := range rows {
		for _, b := range append(append([]bin{}, f.byDistance...), f.byDirection...) {
			if b.n >= enough {
				reach = math.Ceil(2*max(reach, -b.low, b.high)) / 2
			}
		}
	}
	plots := make([][]*plot.Plot, len(rows))
	for i, f := range rows {
		km := f.scene.radiusM / 1000
		byDistance, err := differences(f.byDistance, km, reach)
		if err != nil {
			return err
		}
		byDistance.Title.Text = fmt.Sprintf("%s, %d cells", f.scene.name, f.cells)
		byDistance.X.Label.Text = "distance, km"
		byDistance.X.Tick.Marker = every(5*math.Ceil(km/30), km)
		byDirection, err := differences(f.byDirection, 360, reach)
		if err != nil {
			return err
		}
		byDirection.Title.Text = f.scene.name
		byDirection.Legend = plot.NewLegend() // one is enough
		byDirection.X.Label.Text = "direction, degrees from north"
		byDirection.X.Tick.Marker = every(90, 360)
		plots[i] = []*plot.Plot{byDistance, byDirection}
	}
	whole := draw.New(canvas)
	tiles := draw.Tiles{Rows: len(rows), Cols: 2, PadX: vg.Points(14), PadY: vg.Points(10), PadTop: vg.Points(4),
		PadBottom: vg.Points(4), PadLeft: vg.Points(4), PadRight: vg.Points(8)}
	for i, line := range plot.Align(plots, tiles, whole) {
		for k, c := range line {
			plots[i][k].Draw(c)
		}
	}
	out, err := os.Create(path)
	if err != nil {
		return err
	}
	if _, err := canvas.WriteTo(out); err != nil {
		return err
	}
	return out.Close()
}

// every is marks with labels from 0 on.
func every(step, last float64) (marks plot.ConstantTicks) {
	for v := 0.0; v <= last; v += step {
		marks = append(marks, plot.Tick{Value: v, Label: fmt.Sprint(v)})
	}
	return marks
}

// differences draws bins over a value from 0 to scale: the median as a line with
// marks, 5 to 95 % as a band, and the wanted limit of the median; dB up to reach.
func differences(all []bin, scale, reach float64) (*plot.Plot, error) {
	p := plot.New()
	p.Y.Label.Text = "difference, dB"
	p.Y.Min, p.Y.Max, p.X.Min, p.X.Max = -reach, reach, 0, scale
	var ticks plot.ConstantTicks
	for y := -math.Floor(reach); y <= reach; y++ {
		ticks = append(ticks, plot.Tick{Value: y, Label: fmt.Sprint(y)})
	}
	p.Y.Tick.Marker = ticks
	p.Legend.Top, p.Legend.Left, p.Legend.Padding, p.Legend.TextStyle.Font.Size = true, true, vg.Points(2), vg.Points(9)
	p.Legend.XOffs, p.Legend.YOffs = vg.Points(6), -vg.Points(4)
	var medians, low, high plotter.XYs
	for _, b := range all {
		if b.n < enough {
			continue
		}
		x := scale * (b.from + b.to) / 2
		medians, low, high = append(medians, plotter.XY{X: x, Y: b.median}), append(low, plotter.XY{X: x, Y: b.low}),
			append(high, plotter.XY{X: x, Y: b.high})
	}
	area := append(plotter.XYs{}, low...)
	for i := len(high) - 1; i >= 0; i-- {
		area = append(area, high[i])
	}
	band, err := plotter.NewPolygon(area)
	if err != nil {
		return nil, err
	}
	band.Color, band.LineStyle.Width = bandBlue, 0
	line, marks, err := plotter.NewLinePoints(medians)
	if err != nil {
		return nil, err
	}
	line.Color, line.Width = medianBlue, vg.Points(1.5)
	marks.Color, marks.Shape, marks.Radius = medianBlue, draw.CircleGlyph{}, vg.Points(1.8)
	p.Add(plotter.NewGrid(), band, line, marks)
	for _, y := range []float64{-medianLimitDB, medianLimitDB} {
		limit, err := plotter.NewLine(plotter.XYs{{X: 0, Y: y}, {X: scale, Y: y}})
		if err != nil {
			return nil, err
		}
		limit.Color, limit.Width, limit.Dashes = limitRed, vg.Points(0.8), []vg.Length{vg.Points(3), vg.Points(2)}
		p.Add(limit)
		if y > 0 {
			p.Legend.Add("median", line, marks)
			p.Legend.Add("5 to 95 %", band)
			p.Legend.Add("limit of the median", limit)
		}
	}
	return p, nil
}
