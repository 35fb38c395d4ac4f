package picture

import (
	"image/color"
	"slices"

	"github.com/paulmach/orb"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// standLooks are the edges of what stands on the ground by its class; they fill it faintly too.
var standLooks = map[terrain.CoverClass]color.RGBA{
	terrain.CoverWater: okabeBlue, terrain.CoverOpen: {150, 130, 0, 255}, terrain.CoverSuburban: okabeOrange,
	terrain.CoverWood: okabeGreen, terrain.CoverUrban: okabeRed, terrain.CoverDenseUrban: okabeBlack,
}

// standLook is how a class is drawn, filled where nothing under it has a meaning by its colour.
type standLook struct {
	edge   draw.LineStyle
	filled bool
}

func lookOf(class terrain.CoverClass, filled bool) standLook {
	return standLook{draw.LineStyle{Color: standLooks[class], Width: vg.Points(0.7)}, filled}
}

// fill fills rings, of which those inside the first one go the other way round.
func (l standLook) fill(c *draw.Canvas, rings ...[]vg.Point) {
	if !l.filled {
		return
	}
	var path vg.Path
	for _, ring := range rings {
		path.Move(ring[0])
		for _, p := range ring[1:] {
			path.Line(p)
		}
		path.Close()
	}
	of := l.edge.Color.(color.RGBA)
	c.SetColor(color.NRGBA{of.R, of.G, of.B, 60})
	c.Fill(path)
}

// Thumbnail implements [gonum.org/v1/plot.Thumbnailer].
func (l standLook) Thumbnail(c *draw.Canvas) {
	box := corners(c.Rectangle)
	l.fill(c, box)
	c.StrokeLines(l.edge, append(box, box[0]))
}

// standing draws what the Polygons of a plan say that stands on the ground, under all else.
func (d *drawing) standing(cover []plan.Cover, filled bool) {
	c := &d.chart.canvas
	for i := range cover {
		class := cover[i].Standing().Class
		look, seen := lookOf(class, filled), false
		for _, part := range cover[i].Parts {
			var rings [][]vg.Point
			for k, places := range part {
				ring := make([]vg.Point, len(places))
				for n, p := range places {
					ring[n] = d.chart.point(p)
				}
				for _, piece := range c.ClipLinesXY(ring) {
					c.StrokeLines(look.edge, piece)
					seen = true
				}
				if (places.Orientation() == orb.CCW) != (k == 0) {
					slices.Reverse(ring)
				}
				if ring = c.ClipPolygonXY(ring); len(ring) > 2 {
					rings = append(rings, ring)
				}
			}
			if len(rings) > 0 {
				look.fill(c, rings...)
				seen = true
			}
		}
		if seen {
			d.uses(class.String()+", as drawn in the plan", look)
		}
	}
}
