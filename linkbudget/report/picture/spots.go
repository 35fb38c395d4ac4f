package picture

import (
	"fmt"
	"image/color"
	"io"

	"github.com/paulmach/orb"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

var (
	servingMark = draw.GlyphStyle{Color: okabeGreen, Radius: vg.Points(5), Shape: draw.PyramidGlyph{}}
	failingMark = draw.GlyphStyle{Color: okabeRed, Radius: vg.Points(4), Shape: thickRing{}}
	roadLook    = draw.LineStyle{Color: color.RGBA{110, 110, 110, 255}, Width: vg.Points(1.2)}
)

// SpotsMap is what a picture of a search shows: the answer, what was asked, how a spot is
// called by its number from 0, and the terrain of the hillshade, nil for none.
type SpotsMap struct {
	Answer  *siting.Answer
	Options siting.Options
	Name    func(number int) string
	Terrain terrain.DEM
	// Cover is what the plan says that stands on the ground.
	Cover []plan.Cover
}

// Spots draws the ground that was searched with the spots found, as "svg" or "png", and the
// paths from the first of them by what is known of them; a neighbour outside is named where
// its path leaves the chart. Errors are of the format, of a search without ground, of the
// terrain, or of w.
func Spots(w io.Writer, format string, m SpotsMap) (err error) {
	defer fault.Recovered(&err)
	var places []orb.Point
	for _, area := range m.Options.Areas {
		for _, ring := range area {
			places = append(places, ring...)
		}
	}
	if len(places) == 0 || m.Answer == nil || m.Name == nil {
		return fault.Input("picture: no ground that was searched, no answer, or no names")
	}
	c := newChart(places, 0.25, 100)
	d := drawing{chart: c, title: spotsTitle(m), left: fmt.Sprintf("%d cells judged", m.Answer.Cells)}
	if n := m.Answer.Unjudged; n > 0 {
		d.left += fmt.Sprintf(", %d without an answer", n)
	}
	if len(m.Answer.Spots) > 0 {
		d.left += "; paths from " + m.Name(0)
	}
	if m.Terrain != nil {
		if err := d.shade(m.Terrain); err != nil {
			return err
		}
	}
	return d.render(w, format, func() {
		d.standing(m.Cover, true)
		for _, road := range m.Options.Roads {
			c.stroke(roadLook, road...)
			d.uses("road", lineThumb(roadLook))
		}
		for _, area := range m.Options.Areas {
			c.outline(area)
		}
		d.uses("ground searched", lineThumb(areaLook))
		d.spots(m)
	})
}

func spotsTitle(m SpotsMap) string {
	serve := 0
	for i := range m.Answer.Spots {
		if m.Answer.Spots[i].Serves {
			serve++
		}
	}
	return fmt.Sprintf("%d spots, %d of them serve", len(m.Answer.Spots), serve)
}

// spots draws paths, marks and then names, those of the first spot's neighbours last.
func (d *drawing) spots(m SpotsMap) {
	c, spots := d.chart, m.Answer.Spots
	at := map[string]orb.Point{}
	for _, n := range m.Options.Neighbours {
		at[n.Station.Name] = n.At
	}
	if len(spots) > 0 {
		for _, l := range spots[0].Links {
			look := linkLooks[l.Result.Verdict]
			c.stroke(look, spots[0].At, at[l.Name])
			d.uses(l.Result.Verdict.String(), lineThumb(look))
		}
	}
	for _, n := range m.Options.Neighbours {
		c.mark(standingMark, n.At)
		if c.canvas.Contains(c.point(n.At)) {
			d.uses("neighbour", markThumb(standingMark))
		}
	}
	for i := range spots {
		if spots[i].Serves {
			c.mark(servingMark, spots[i].At)
			d.uses("spot that serves", markThumb(servingMark))
		} else {
			c.mark(failingMark, spots[i].At)
			d.uses("spot that does not", markThumb(failingMark))
		}
	}
	for i := range spots {
		c.name(fmt.Sprintf("%s, %g m", m.Name(i), spots[i].HeightM), spots[i].At, servingMark.Radius)
	}
	for _, n := range m.Options.Neighbours {
		c.name(n.Station.Name, n.At, standingMark.Radius)
	}
	if len(spots) == 0 {
		return
	}
	for _, l := range spots[0].Links {
		name := clip(smallStyle, l.Name, nameWidth)
		c.leaving(fmt.Sprintf("%s %.1f km", name, l.Result.DistM/1000), spots[0].At, at[l.Name])
	}
}

// leaving names what a line leads to where it leaves the chart, or on the way there.
func (c *chart) leaving(s string, from, to orb.Point) {
	a, b := c.point(from), c.point(to)
	if c.canvas.Contains(b) {
		return
	}
	for _, piece := range c.canvas.ClipLinesXY([]vg.Point{a, b}) {
		b = piece[len(piece)-1]
	}
	for part := vg.Length(1); part > 0.4; part -= 0.1 {
		if c.write(s, vg.Point{X: a.X + part*(b.X-a.X), Y: a.Y + part*(b.Y-a.Y)}, 3) {
			return
		}
	}
	c.left++
}
