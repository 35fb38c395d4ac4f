package picture

import (
	"image/color"
	"io"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/polereach/polereach/linkbudget/calibrate"
	"github.com/polereach/polereach/terrain/fault"
)

// Calibration draws the measured level over the predicted one, and the difference over the
// distance, side by side, as "svg" or "png". Links where nothing was heard stand at the most
// that they can be, with a mark of their own.
func Calibration(w io.Writer, format string, a *calibrate.Answer) (err error) {
	defer fault.Recovered(&err)
	levels, differences := plot.New(), plot.New()
	levels.Title.Text, differences.Title.Text = "Heard against predicted", "Measured less predicted level"
	levels.X.Label.Text, levels.Y.Label.Text = "predicted, dBm", "measured, dBm"
	differences.X.Label.Text, differences.Y.Label.Text = "distance, km", "dB"
	var heard, most [2]plotter.XYs
	low, high, farKm := math.Inf(1), math.Inf(-1), 0.0
	for i := range a.Links {
		l := &a.Links[i]
		measured := l.PredictedDBm + l.DifferenceDB
		to := &heard
		if !l.HasLevel {
			to = &most
		}
		to[0] = append(to[0], plotter.XY{X: l.PredictedDBm, Y: measured})
		to[1] = append(to[1], plotter.XY{X: l.DistM / 1000, Y: l.DifferenceDB})
		low, high = min(low, measured, l.PredictedDBm), max(high, measured, l.PredictedDBm)
		farKm = max(farKm, l.DistM/1000)
	}
	for i, p := range [2]*plot.Plot{levels, differences} {
		p.Add(plotter.NewGrid())
		if err := addPoints(p, "heard", heard[i], draw.CircleGlyph{}, okabeBlue); err != nil {
			return err
		}
		if err := addPoints(p, "not heard: at most", most[i], draw.TriangleGlyph{}, okabeRed); err != nil {
			return err
		}
		p.Legend.Top, p.Legend.Left = true, true
	}
	if err := addLine(levels, "as predicted", plotter.XYs{{X: low, Y: low}, {X: high, Y: high}}, okabeBlack, 1,
		nil); err != nil {
		return err
	}
	if err := addLine(differences, "as predicted", plotter.XYs{{X: 0, Y: 0}, {X: farKm, Y: 0}}, okabeBlack, 1,
		nil); err != nil {
		return err
	}
	bias := plotter.XYs{{X: 0, Y: a.Bias.DB}, {X: farKm, Y: a.Bias.DB}}
	if err := addLine(differences, "bias", bias, okabeOrange, 1, []vg.Length{vg.Points(4), vg.Points(3)}); err != nil {
		return err
	}
	return render(w, format, 10*vg.Inch, 5*vg.Inch, func(c draw.Canvas) error {
		tiles := draw.Tiles{Rows: 1, Cols: 2, PadX: vg.Points(12), PadTop: vg.Points(4), PadBottom: vg.Points(4)}
		for i, part := range plot.Align([][]*plot.Plot{{levels, differences}}, tiles, c)[0] {
			[2]*plot.Plot{levels, differences}[i].Draw(part)
		}
		return nil
	})
}

func addPoints(p *plot.Plot, name string, at plotter.XYs, mark draw.GlyphDrawer, colour color.Color) error {
	if len(at) == 0 {
		return nil
	}
	points, err := plotter.NewScatter(at)
	if err != nil {
		return err
	}
	points.Shape, points.Color, points.Radius = mark, colour, vg.Points(2.5)
	p.Add(points)
	p.Legend.Add(name, points)
	return nil
}
