package picture

import (
	"fmt"
	"sort"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

var (
	decidingMark   = draw.GlyphStyle{Color: okabeRed, Radius: vg.Points(3), Shape: draw.CircleGlyph{}}
	otherMark      = draw.GlyphStyle{Color: okabeRed, Radius: vg.Points(3.5), Shape: draw.CrossGlyph{}}
	reflectionMark = draw.GlyphStyle{Color: okabeOrange, Radius: vg.Points(5.5), Shape: draw.PyramidGlyph{}}
)

// addMarks draws the point that decides and how far it lies off the ray, other obstacles
// and where the ground reflects.
func (s *section) addMarks(p *plot.Plot) error {
	mark := func(style draw.GlyphStyle, at plotter.XY) error {
		glyph, err := plotter.NewScatter(plotter.XYs{at})
		if err != nil {
			return fmt.Errorf("picture: %w", err)
		}
		glyph.GlyphStyle = style
		p.Add(glyph)
		return nil
	}
	if f := s.result.Reflection; f != nil {
		if err := mark(reflectionMark, plotter.XY{X: f.AtM / 1000, Y: s.groundAt(f.AtM) + s.bulgeM(f.AtM)}); err != nil {
			return err
		}
	}
	for _, c := range s.others() {
		if err := mark(otherMark, plotter.XY{X: c.AtM / 1000, Y: c.GroundM + c.BulgeM}); err != nil {
			return err
		}
	}
	c := &s.result.Worst
	if !s.result.HasWorst {
		return nil
	}
	at := plotter.XY{X: c.AtM / 1000, Y: c.GroundM + c.BulgeM}
	if err := s.line(p, "", plotter.XYs{at, {X: at.X, Y: c.LineM}}, okabeRed, 1.4, nil); err != nil {
		return err
	}
	return mark(decidingMark, at)
}

// groundAt is the ground between the points of the profile.
func (s *section) groundAt(atM float64) float64 {
	dist, height := s.profile.DistM, s.profile.HeightM
	i := min(max(sort.SearchFloat64s(dist, atM), 1), len(dist)-1)
	part := (atM - dist[i-1]) / (dist[i] - dist[i-1])
	return height[i-1] + part*(height[i]-height[i-1])
}
