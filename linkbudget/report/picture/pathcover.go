package picture

import (
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
)

// heightsM are the heights of what is drawn to stand on the ground: all that the cover knows, also
// near the antennas where none of it is on the profile; else what the loss was found over. nil for
// nothing.
func (s *section) heightsM() []float64 {
	if s.profile.Standing == nil || s.profile.TopM != nil {
		return s.sight.ClutterM
	}
	out, any := make([]float64, len(s.profile.Standing)), false
	for i, at := range s.profile.Standing {
		out[i] = linkbudget.StandsM(at, clutter.Unstated)
		any = any || out[i] > 0
	}
	if !any {
		return nil
	}
	return out
}

// hatches are so many lines over the whole width, the second sign of what stands beside its colour.
const hatches = 160

// hatch draws upright lines from the ground to the tops of what the cover has there.
func (s *section) hatch(p *plot.Plot, ground, tops plotter.XYs) error {
	if s.profile.Standing == nil {
		return nil
	}
	i := 1
	for k := 1; k < hatches; k++ {
		x := p.X.Max * float64(k) / hatches
		for i < len(ground)-1 && ground[i].X < x {
			i++
		}
		if x < ground[0].X || i >= len(ground) || x > ground[i].X {
			continue
		}
		u := (x - ground[i-1].X) / (ground[i].X - ground[i-1].X)
		low := ground[i-1].Y + u*(ground[i].Y-ground[i-1].Y)
		high := tops[i-1].Y + u*(tops[i].Y-tops[i-1].Y)
		if high-low < 0.5 {
			continue
		}
		if err := s.line(p, "", plotter.XYs{{X: x, Y: low}, {X: x, Y: high}}, okabeGreen, 0.6, nil); err != nil {
			return err
		}
	}
	return nil
}
