package picture

import (
	"fmt"
	"image/color"
	"io"
	"slices"

	"github.com/paulmach/orb"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// linkLooks are the lines of links by what is known of them: colour, width and dashes.
var linkLooks = map[linkbudget.Verdict]draw.LineStyle{
	linkbudget.Reaches:  {Color: okabeGreen, Width: vg.Points(2.4)},
	linkbudget.Marginal: {Color: okabeOrange, Width: vg.Points(2.4), Dashes: dashed},
	linkbudget.Short:    {Color: okabeRed, Width: vg.Points(2), Dashes: dotted},
	linkbudget.Unknown:  {Color: okabeBlack, Width: vg.Points(1.6), Dashes: dashDotted},
}

// verdicts are the states of links, the best first.
var verdicts = []linkbudget.Verdict{linkbudget.Reaches, linkbudget.Marginal, linkbudget.Short, linkbudget.Unknown}

// otherLook is that of a pair that nobody asked for and that reaches.
var otherLook = draw.LineStyle{Color: okabeBlue, Width: vg.Points(0.8)}

var (
	standingMark = draw.GlyphStyle{Color: okabeBlack, Radius: vg.Points(4), Shape: draw.CircleGlyph{}}
	proposedMark = draw.GlyphStyle{Color: okabeBlack, Radius: vg.Points(4), Shape: thickRing{}}
	gatewayMark  = draw.GlyphStyle{Color: okabeBlack, Radius: vg.Points(5), Shape: draw.BoxGlyph{}}
)

// mostOthers bounds the pairs drawn that nobody asked for: more are a tangle.
const mostOthers = 400

// manyPoles have smaller marks.
const manyPoles = 300

// Mesh draws a checked plan over the ground, as "svg" or "png": poles with their names, the
// wanted links by what is known of them, other pairs that reach, searchable ground and what the plan says that
// stands on the ground. dem is
// the terrain of the hillshade, nil for none. Errors are of the format, of a mesh without
// poles, of the terrain, or of w.
func Mesh(w io.Writer, format string, m *mesh.Mesh, dem terrain.DEM) (err error) {
	defer fault.Recovered(&err)
	if m == nil || m.Plan == nil || len(m.Stations) == 0 {
		return fault.Input("picture: no mesh, or one without poles")
	}
	places := make([]orb.Point, len(m.Stations))
	for i := range m.Stations {
		places[i] = m.Stations[i].At
	}
	c := newChart(places, 0.14, 150)
	d := drawing{chart: c, title: meshTitle(m), left: fmt.Sprintf("%s; the mesh: %s", linkCounts(m), m.Connected)}
	if dem != nil {
		if err := d.shade(dem); err != nil {
			return err
		}
	}
	for _, v := range verdicts {
		if slices.ContainsFunc(m.Pairs, func(p mesh.Pair) bool { return p.Wanted() && p.Verdict == v }) {
			d.uses(v.String(), lineThumb(linkLooks[v]))
		}
	}
	return d.render(w, format, func() {
		d.standing(m.Plan.Cover, true)
		for _, a := range m.Plan.Areas {
			c.outline(a.Polygon)
			d.uses("ground to search", lineThumb(areaLook))
		}
		d.others(m)
		for _, v := range slices.Backward(verdicts) { // the best on top
			for i := range m.Pairs {
				if p := &m.Pairs[i]; p.Wanted() && p.Verdict == v {
					c.stroke(linkLooks[v], m.Stations[p.A].At, m.Stations[p.B].At)
				}
			}
		}
		d.poles(m)
	})
}

func meshTitle(m *mesh.Mesh) string {
	title := m.Plan.Source
	if title == "" {
		title = "plan"
	}
	return fmt.Sprintf("%s: %d poles, %s", title, len(m.Stations), m.Verdict)
}

func linkCounts(m *mesh.Mesh) string {
	text := fmt.Sprintf("%d of %d pairs reach", m.Reached, len(m.Pairs))
	if m.WantedCount > 0 {
		text = fmt.Sprintf("%d of %d wanted links reach, ", m.WantedReached, m.WantedCount) + text
	}
	return text
}

// others draws the pairs that reach and that nobody asked for.
func (d *drawing) others(m *mesh.Mesh) {
	var list []*mesh.Pair
	for i := range m.Pairs {
		if p := &m.Pairs[i]; !p.Wanted() && p.Solid() {
			list = append(list, p)
		}
	}
	if len(list) > mostOthers {
		d.notes = append(d.notes, note{text: fmt.Sprintf("%d other pairs that reach are not drawn.", len(list))})
		return
	}
	for _, p := range list {
		d.chart.stroke(otherLook, m.Stations[p.A].At, m.Stations[p.B].At)
		d.uses("reaches, not asked for", lineThumb(otherLook))
	}
}

// poles draws marks first, then names, which keep off all marks.
func (d *drawing) poles(m *mesh.Mesh) {
	gateway := map[int]bool{}
	for _, v := range m.Gateways {
		gateway[v] = true
	}
	for v := range m.Stations {
		style, what := standingMark, "pole"
		switch {
		case gateway[v]:
			style, what = gatewayMark, "gateway"
		case m.Stations[v].Status == plan.Proposed:
			style, what = proposedMark, "proposed pole"
		}
		if len(m.Stations) > manyPoles {
			style.Radius /= 2
		}
		d.chart.mark(style, m.Stations[v].At)
		d.uses(what, markThumb(style))
	}
	for v := range m.Stations {
		d.chart.name(m.Stations[v].Station.Name, m.Stations[v].At, standingMark.Radius)
	}
}

// areaLook is the edge of searchable ground.
var areaLook = draw.LineStyle{Color: color.RGBA{204, 121, 167, 255}, Width: vg.Points(1.6), Dashes: []vg.Length{4, 2}}

// outline draws the rings of a polygon.
func (c *chart) outline(p orb.Polygon) {
	for _, ring := range p {
		c.stroke(areaLook, ring...)
	}
}

// lineThumb and markThumb are what the key shows of a line and a mark.
func lineThumb(style draw.LineStyle) plot.Thumbnailer { return &plotter.Line{LineStyle: style} }

func markThumb(style draw.GlyphStyle) plot.Thumbnailer { return &plotter.Scatter{GlyphStyle: style} }
