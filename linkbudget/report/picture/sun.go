package picture

import (
	"fmt"
	"image/color"
	"io"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain/fault"
)

// sunWidth and sunHeight are 960 x 480 pixels at 96 per inch.
const (
	sunWidth  = 10 * vg.Inch
	sunHeight = 5 * vg.Inch
)

// Sun draws the skyline round a pole and the sun's way at the solstices
// and the equinoxes, the equator in the middle, as "svg" or "png".
func Sun(w io.Writer, format string, s *power.PoleSurvey, name string) (err error) {
	defer fault.Recovered(&err)
	p, err := sunPlot(s, name)
	if err != nil {
		return err
	}
	return render(w, format, sunWidth, sunHeight, func(c draw.Canvas) error { p.Draw(c); return nil })
}

// around maps an azimuth to the axis: -180 to 180 about the equator's direction.
type around struct{ centreDeg float64 }

func (a around) x(azimuthDeg float64) float64 {
	return math.Mod(azimuthDeg-a.centreDeg+540+360, 360) - 180
}

func sunPlot(s *power.PoleSurvey, name string) (*plot.Plot, error) {
	a := around{180}
	if s.Skyline.At.Lat() < 0 {
		a.centreDeg = 0
	}
	p := newPlot()
	p.Title.Text = "Skyline and sun at " + name
	p.X.Label.Text, p.Y.Label.Text = "direction, degrees clockwise from north", "elevation, degrees"
	p.X.Min, p.X.Max = -180, 180
	p.X.Tick.Marker = compass(a)
	p.Legend.Top, p.Legend.Left = true, true
	p.Legend.Padding = vg.Points(2)
	p.Y.Tick.Marker = tens()
	p.Add(plotter.NewGrid())

	highest := 10.0
	for _, path := range s.Paths {
		for _, point := range path.Points {
			highest = max(highest, point.ElevDeg)
		}
	}
	lowest := -1.0
	for _, d := range s.Skyline.Directions {
		highest, lowest = max(highest, d.ElevDeg), min(lowest, d.ElevDeg)
	}
	// Room above for the legend: the sun climbs highest in the middle.
	p.Y.Min, p.Y.Max = math.Floor(lowest/5)*5, math.Min(95, math.Ceil(highest/10)*10+5)
	if err := addGround(p, a, s); err != nil {
		return nil, err
	}
	if err := addPaths(p, a, s); err != nil {
		return nil, err
	}
	return p, addPanels(p, a, s)
}

// addPanels marks the point of the sky that each panel of a stated node faces.
func addPanels(p *plot.Plot, a around, s *power.PoleSurvey) error {
	if !s.Stated.Enough() {
		return nil
	}
	var faces plotter.XYs
	for _, panel := range s.System.Panels {
		faces = append(faces, plotter.XY{X: a.x(panel.AzimuthDeg), Y: 90 - panel.TiltDeg})
	}
	marks, err := plotter.NewScatter(faces)
	if err != nil {
		return fmt.Errorf("picture: panels: %w", err)
	}
	marks.GlyphStyle = draw.GlyphStyle{Color: okabeBlack, Radius: vg.Points(7), Shape: draw.PlusGlyph{}}
	p.Add(marks)
	p.Legend.Add("the panel faces", marks)
	return nil
}

// compass labels the eight directions.
func compass(a around) plot.ConstantTicks {
	names := []string{"N", "NE", "E", "SE", "S", "SW", "W", "NW"}
	var ticks plot.ConstantTicks
	for x := -180.0; x <= 180; x += 45 {
		at := math.Mod(x+a.centreDeg+360, 360)
		ticks = append(ticks, plot.Tick{Value: x, Label: fmt.Sprintf("%s %.0f", names[int(math.Round(at/45))%8], at)})
	}
	return ticks
}

// tens labels every ten degrees of elevation.
func tens() plot.ConstantTicks {
	var ticks plot.ConstantTicks
	for y := -90; y <= 90; y += 10 {
		ticks = append(ticks, plot.Tick{Value: float64(y), Label: fmt.Sprint(y)})
	}
	return ticks
}

// addGround fills the ground up to the skyline, draws what the user's obstacles
// make of it with crosses, and what unknown ground could hide in dashes.
func addGround(p *plot.Plot, a around, s *power.PoleSurvey) error {
	var edge, obstacles plotter.XYs
	var hidden []plotter.XYs // stretches where unknown ground could stand higher
	inside := false
	for x := -180.0; x <= 180; x += 0.5 {
		azimuth := math.Mod(x+a.centreDeg+360, 360)
		edge = append(edge, plotter.XY{X: x, Y: s.Skyline.ElevDeg(azimuth)})
		most := plotter.XY{X: x, Y: s.Skyline.MostDeg(azimuth)}
		was := inside
		if inside = most.Y > edge[len(edge)-1].Y+0.01; !inside {
			continue
		}
		if !was {
			hidden = append(hidden, nil)
		}
		hidden[len(hidden)-1] = append(hidden[len(hidden)-1], most)
	}
	for i, d := range s.Skyline.Directions {
		if d.Obstacle {
			obstacles = append(obstacles, plotter.XY{X: a.x(s.Skyline.StepDeg * float64(i)), Y: d.ElevDeg})
		}
	}
	closed := append(append(plotter.XYs{{X: -180, Y: p.Y.Min}}, edge...), plotter.XY{X: 180, Y: p.Y.Min})
	ground, err := plotter.NewPolygon(closed)
	if err != nil {
		return fmt.Errorf("picture: skyline: %w", err)
	}
	ground.Color, ground.LineStyle.Width = groundGrey, 0
	p.Add(ground)
	if err := addLine(p, "", edge, okabeBlack, 1.4, nil); err != nil {
		return err
	}
	legend := "missing ground could reach here"
	for _, stretch := range hidden {
		if err := addLine(p, legend, stretch, okabeRed, 1.2, dotted); err != nil {
			return err
		}
		legend = ""
	}
	if len(obstacles) == 0 {
		return nil
	}
	marks, err := plotter.NewScatter(obstacles)
	if err != nil {
		return fmt.Errorf("picture: obstacles: %w", err)
	}
	marks.GlyphStyle = draw.GlyphStyle{Color: okabeRed, Radius: vg.Points(2), Shape: draw.CrossGlyph{}}
	p.Add(marks)
	p.Legend.Add("obstacle given", marks)
	return nil
}

// dayLook tells the days apart without colour: dash and mark.
var dayLook = []struct {
	colour color.Color
	dashes []vg.Length
	mark   draw.GlyphDrawer
}{
	{okabeOrange, nil, draw.CircleGlyph{}},
	{okabeGreen, dashed, draw.SquareGlyph{}},
	{okabeBlue, dashDotted, draw.PyramidGlyph{}},
}

// addPaths draws the sun's days, a mark on each full hour of solar time.
func addPaths(p *plot.Plot, a around, s *power.PoleSurvey) error {
	for i, path := range s.Paths {
		look := dayLook[i%len(dayLook)]
		var points, hours plotter.XYs
		flush := func() error {
			if len(points) == 0 {
				return nil
			}
			err := addLine(p, "", points, look.colour, 1.8, look.dashes)
			points = nil
			return err
		}
		for _, q := range path.Points {
			xy := plotter.XY{X: a.x(q.AzimuthDeg), Y: q.ElevDeg}
			if n := len(points); n > 0 && math.Abs(xy.X-points[n-1].X) > 180 { // round the back
				if err := flush(); err != nil {
					return err
				}
			}
			points = append(points, xy)
			if math.Abs(q.SolarH-math.Round(q.SolarH)) < 1e-6 {
				hours = append(hours, xy)
			}
		}
		if err := flush(); err != nil {
			return err
		}
		legend, err := plotter.NewLine(plotter.XYs{{}, {}})
		if err != nil {
			return fmt.Errorf("picture: %w", err)
		}
		legend.Color, legend.Width, legend.Dashes = look.colour, vg.Points(1.8), look.dashes
		shown := []plot.Thumbnailer{legend}
		if len(hours) > 0 {
			marks, err := plotter.NewScatter(hours)
			if err != nil {
				return fmt.Errorf("picture: %w", err)
			}
			marks.GlyphStyle = draw.GlyphStyle{Color: look.colour, Radius: vg.Points(2.5), Shape: look.mark}
			p.Add(marks)
			shown = append(shown, marks)
		}
		p.Legend.Add(path.Name, shown...)
	}
	return nil
}
