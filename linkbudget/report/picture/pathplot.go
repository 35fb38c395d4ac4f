package picture

import (
	"fmt"
	"image/color"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

var (
	standingGreen = color.RGBA{170, 222, 203, 255}
	bulgeGrey     = color.RGBA{150, 150, 150, 255}
	zoneBlue      = color.RGBA{222, 238, 248, 255}
)

// zonePoints are on each edge of the first Fresnel zone, closer together at its ends.
const zonePoints = 120

// plot draws from the back to the front, and fills in the key.
func (s *section) plot() (*plot.Plot, error) {
	p := newPlot()
	p.X.Label.Text = "distance from A, km"
	p.Y.Label.Text = "height and the earth's bulge, m"
	p.X.Min, p.X.Max = 0, s.profile.LengthM()/1000
	p.Y.Min, p.Y.Max = s.heights()
	p.X.Tick.Marker, p.Y.Tick.Marker = rounded(8), rounded(6)
	p.Add(plotter.NewGrid())
	steps := []func(*plot.Plot) error{s.addGround}
	if s.known {
		steps = []func(*plot.Plot) error{s.addZone, s.addGround, s.addRay, s.addMarks}
	}
	for _, step := range steps {
		if err := step(p); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// heights is the range that holds all that is drawn, with room at both ends.
func (s *section) heights() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	take := func(v float64) { low, high = min(low, v), max(high, v) }
	for i, d := range s.profile.DistM {
		if !s.groundKnown(i) {
			continue
		}
		take(s.profile.HeightM[i] + s.bulgeM(d))
		if s.standsM != nil {
			take(s.profile.HeightM[i] + s.standsM[i] + s.bulgeM(d))
		}
		if s.known {
			c := s.sight.At(i)
			take(c.GroundM + c.BulgeM)
			take(c.LineM + c.RadiusM)
		}
	}
	if low > high {
		low, high = 0, 0 // nothing is known
	}
	room := max(0.06*(high-low), 3)
	return low - room, high + room
}

func (s *section) groundKnown(i int) bool {
	return s.profile.Flags == nil || s.profile.Flags[i].Known()
}

// add puts a plotter on the plot and into the key.
func (s *section) add(p *plot.Plot, name string, data interface {
	plot.Plotter
	plot.Thumbnailer
}) {
	p.Add(data)
	if name != "" {
		s.key = append(s.key, keyed{name, []plot.Thumbnailer{data}})
	}
}

func (s *section) fill(p *plot.Plot, name string, edge plotter.XYs, c color.Color) error {
	shape, err := plotter.NewPolygon(edge)
	if err != nil {
		return fmt.Errorf("picture: %w", err)
	}
	shape.Color, shape.LineStyle.Width = c, 0
	s.add(p, name, shape)
	return nil
}

func (s *section) line(p *plot.Plot, name string, points plotter.XYs, c color.Color, width float64,
	dashes []vg.Length) error {
	line, err := newLine(points, c, width, dashes)
	if err == nil {
		s.add(p, name, line)
	}
	return err
}

// zone returns the edges of a part of the first Fresnel zone.
func (s *section) zone(part float64) (lower, upper plotter.XYs) {
	lengthM := s.profile.LengthM()
	for i := 0; i <= zonePoints; i++ {
		d := lengthM * (1 - math.Cos(math.Pi*float64(i)/zonePoints)) / 2
		r := part * radio.FresnelZone{D1M: d, D2M: lengthM - d, WavelengthM: s.sight.WavelengthM}.RadiusM()
		line := s.sight.AHeightM + (s.sight.BHeightM-s.sight.AHeightM)*d/lengthM
		lower = append(lower, plotter.XY{X: d / 1000, Y: line - r})
		upper = append(upper, plotter.XY{X: d / 1000, Y: line + r})
	}
	return lower, upper
}

// closed is the area between two lines from left to right.
func closed(lower, upper plotter.XYs) plotter.XYs {
	edge := append(plotter.XYs(nil), lower...)
	for i := len(upper) - 1; i >= 0; i-- {
		edge = append(edge, upper[i])
	}
	return edge
}

func (s *section) addZone(p *plot.Plot) error {
	lower, upper := s.zone(1)
	return s.fill(p, "", closed(lower, upper), zoneBlue)
}

// addRay draws the direct ray, the edges of the zone, and both masts.
func (s *section) addRay(p *plot.Plot) error {
	r := s.result
	endKm := s.profile.LengthM() / 1000
	ray := plotter.XYs{{X: 0, Y: s.sight.AHeightM}, {X: endKm, Y: s.sight.BHeightM}}
	if err := s.line(p, "direct ray", ray, okabeBlack, 1.2, nil); err != nil {
		return err
	}
	for _, edge := range []struct {
		name   string
		part   float64
		width  float64
		dashes []vg.Length
	}{{"first Fresnel zone", 1, 0.8, nil}, {"0.6 of it", diffraction.ClearFraction, 0.8, dashed}} {
		lower, upper := s.zone(edge.part)
		if err := s.line(p, edge.name, lower, okabeBlue, edge.width, edge.dashes); err != nil {
			return err
		}
		if err := s.line(p, "", upper, okabeBlue, edge.width, edge.dashes); err != nil {
			return err
		}
	}
	masts := []struct{ x, groundM, upM float64 }{{0, r.GroundAM, r.HeightAM}, {endKm, r.GroundBM, r.HeightBM}}
	for _, mast := range masts {
		line := plotter.XYs{{X: mast.x, Y: mast.groundM}, {X: mast.x, Y: mast.groundM + mast.upM}}
		if err := s.line(p, "", line, okabeBlack, 2.5, nil); err != nil {
			return err
		}
	}
	return nil
}

// addGround fills what stands on the ground, the ground, and the bulge of the earth in it.
func (s *section) addGround(p *plot.Plot) error {
	outline := color.RGBA{90, 90, 90, 255}
	for from := 0; from < len(s.profile.DistM); {
		to := from
		for to < len(s.profile.DistM) && s.groundKnown(to) {
			to++
		}
		if to == from {
			from++
			continue
		}
		var ground, tops plotter.XYs
		for i := from; i < to; i++ {
			d := s.profile.DistM[i]
			at := plotter.XY{X: d / 1000, Y: s.profile.HeightM[i] + s.bulgeM(d)}
			ground = append(ground, at)
			if s.standsM != nil {
				at.Y += s.standsM[i]
				tops = append(tops, at)
			}
		}
		first := len(s.key) == 0
		named := func(name string) string {
			if first {
				return name
			}
			return ""
		}
		bottom := plotter.XYs{{X: ground[0].X, Y: p.Y.Min}, {X: ground[len(ground)-1].X, Y: p.Y.Min}}
		if tops != nil {
			all := tops
			tops = thinned(p, tops)
			if err := s.fill(p, named("what stands on it"), closed(bottom, tops), standingGreen); err != nil {
				return err
			}
			if err := s.hatch(p, ground, all); err != nil {
				return err
			}
			if err := s.line(p, "", tops, okabeGreen, 0.8, dotted); err != nil {
				return err
			}
		}
		ground = thinned(p, ground)
		if err := s.fill(p, named("ground"), closed(bottom, ground), groundGrey); err != nil {
			return err
		}
		if err := s.line(p, "", ground, outline, 0.8, nil); err != nil {
			return err
		}
		from = to
	}
	if err := s.addFilled(p); err != nil {
		return err
	}
	name := "no ground known"
	for _, g := range s.result.Gaps {
		gap := plotter.XYs{{X: g.FromM / 1000, Y: p.Y.Min}, {X: g.ToM / 1000, Y: p.Y.Min}}
		if err := s.line(p, name, gap, okabeRed, 3, dotted); err != nil {
			return err
		}
		name = ""
	}
	var base, bulge plotter.XYs
	for i := 0; i <= zonePoints; i++ {
		d := s.profile.LengthM() * float64(i) / zonePoints
		base = append(base, plotter.XY{X: d / 1000, Y: p.Y.Min})
		bulge = append(bulge, plotter.XY{X: d / 1000, Y: p.Y.Min + s.bulgeM(d)})
	}
	if s.bulgeM(s.profile.LengthM()/2) < 0.01*(p.Y.Max-p.Y.Min) {
		return nil // not to be seen
	}
	return s.fill(p, "bulge of the earth", closed(base, bulge), bulgeGrey)
}

// addFilled marks ground that was filled in over missing heights.
func (s *section) addFilled(p *plot.Plot) error {
	name := "ground filled in"
	var run plotter.XYs
	flush := func() error {
		if len(run) == 0 {
			return nil
		}
		err := s.line(p, name, run, okabeRed, 1.5, dotted)
		name, run = "", nil
		return err
	}
	for i := range s.profile.Flags {
		if s.profile.Flags[i] != terrain.Filled {
			if err := flush(); err != nil {
				return err
			}
			continue
		}
		d := s.profile.DistM[i]
		run = append(run, plotter.XY{X: d / 1000, Y: s.profile.HeightM[i] + s.bulgeM(d)})
	}
	return flush()
}

// thinnedTo is how far a thinned line may lie off, points.
const thinnedTo = 0.2

// thinned leaves out points of a line that nobody would see, by Douglas and Peucker.
func thinned(p *plot.Plot, points plotter.XYs) plotter.XYs {
	perX, perY := float64(pathWidth)/(p.X.Max-p.X.Min), float64(pathHeight)/(p.Y.Max-p.Y.Min)
	line := make(orb.LineString, len(points))
	for i, q := range points {
		line[i] = orb.Point{q.X * perX, q.Y * perY}
	}
	line = simplify.DouglasPeucker(thinnedTo).LineString(line)
	out := make(plotter.XYs, len(line))
	for i, q := range line {
		out[i] = plotter.XY{X: q[0] / perX, Y: q[1] / perY}
	}
	return out
}
