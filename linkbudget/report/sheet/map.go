package sheet

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html/template"
	stdimage "image"
	"image/color"
	"image/jpeg"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// The map is so many units wide, one of them about a pixel of a phone, and no flatter or
// taller than these.
const (
	mapWidth             = 400.0
	flattest, mostUpward = 0.6, 1.15
	leastHalfM           = 700.0 // from the middle to an edge
	margin               = 0.14  // of the width, for names
	shadePixels          = 300
)

// siteMap is a pole with its neighbours, north up, true to shape in its middle.
type siteMap struct {
	Width, Height float64
	Alt           string
	Shade         template.URL
	Stands        []mapStand
	Areas         []string // the corners of polygons
	Lines         []mapLine
	Marks         []mapMark
	Hills         []mapPoint
	Scale         scaleBar
	Unknown       bool
}

// Key is which states lines of the map have.
func (m *siteMap) Key() (states []string) {
	for _, v := range []linkbudget.Verdict{linkbudget.Reaches, linkbudget.Marginal, linkbudget.Short, linkbudget.Unknown} {
		if slices.ContainsFunc(m.Lines, func(l mapLine) bool { return l.Verdict == v.String() }) {
			states = append(states, v.String())
		}
	}
	return states
}

// Proposed tells of a neighbour that does not stand yet.
func (m *siteMap) Proposed() bool {
	return slices.ContainsFunc(m.Marks, func(k mapMark) bool { return k.Proposed })
}

type mapPoint struct{ X, Y float64 }

type mapLine struct {
	From, To mapPoint
	Verdict  string
}

// mapMark is a pole: here, or a neighbour with its number in the table.
type mapMark struct {
	At, Label mapPoint
	Anchor    string
	Text      string
	Here      bool
	Proposed  bool
}

type scaleBar struct {
	Length float64
	Text   string
}

// frame maps places to units of the map.
type frame struct {
	centre        orb.Point
	lonM, latM    float64 // a degree in metres
	unitM         float64 // a unit in metres
	width, height float64
}

func newFrame(centre orb.Point, places []orb.Point) frame {
	f := frame{centre: centre}
	f.lonM, f.latM = terrain.DegreeSizesM(centre.Lat())
	f.lonM, f.unitM = math.Max(math.Abs(f.lonM), 1), 1
	low, high := orb.Point{-leastHalfM, -leastHalfM}, orb.Point{leastHalfM, leastHalfM}
	for _, place := range places {
		at := f.point(place)
		for k, v := range [2]float64{at.X, at.Y} {
			low[k], high[k] = min(low[k], v), max(high[k], v)
		}
	}
	middle := orb.Point{(low[0] + high[0]) / 2, (low[1] + high[1]) / 2}
	wide, tall := high[0]-low[0], high[1]-low[1]
	wide = max(wide, tall/mostUpward) / (1 - 2*margin)
	tall = max(tall/(1-2*margin), wide*flattest)
	f.unitM, f.width, f.height = wide/mapWidth, mapWidth, math.Round(mapWidth*tall/wide)
	f.centre = orb.Point{centre[0] + middle[0]/f.lonM, centre[1] - middle[1]/f.latM}
	return f
}

// point is where a place lies, y downwards, from the left upper corner of a frame that has one.
func (f frame) point(place orb.Point) mapPoint {
	lon := place[0] + 360*math.Round((f.centre[0]-place[0])/360)
	return mapPoint{math.Round(10*(f.width/2+(lon-f.centre[0])*f.lonM/f.unitM)) / 10,
		math.Round(10*(f.height/2-(place[1]-f.centre[1])*f.latM/f.unitM)) / 10}
}

func newMap(s *Sheet, site *mesh.Site, links []*link) (*siteMap, error) {
	places := []orb.Point{site.At.At}
	for i := range site.Links {
		places = append(places, site.Links[i].Neighbour.At)
	}
	f := newFrame(site.At.At, places)
	m := &siteMap{Width: f.width, Height: f.height, Scale: f.scale()}
	here := f.point(site.At.At)
	var l labels
	for _, place := range places {
		l.keep(f.point(place))
		l.cross(here, f.point(place))
	}
	mark := func(text string, at mapPoint, isHere, proposed bool) {
		label, anchor := l.put(f, text, at)
		m.Marks = append(m.Marks, mapMark{at, label, anchor, text, isHere, proposed})
	}
	mark(brief(site.At.Name, mapName), here, true, false)
	for i := range site.Links {
		one := &site.Links[i]
		at := f.point(one.Neighbour.At)
		m.Lines = append(m.Lines, mapLine{here, at, one.Verdict.String()})
		mark(fmt.Sprintf("%d %s", i+1, brief(one.Neighbour.Name, mapName)), at, false, one.Neighbour.Status == plan.Proposed)
		if one.HasWorst && one.WorstAt.Known && links[i].Full && links[i].Path != "clear" {
			m.Hills = append(m.Hills, f.point(orb.Point{one.WorstAt.LonDeg, one.WorstAt.LatDeg}))
		}
	}
	slices.Reverse(m.Lines) // what the plan requires on top
	for _, area := range s.Areas {
		for _, ring := range area.Polygon {
			var corners []string
			for _, place := range ring {
				at := f.point(place)
				corners = append(corners, fmt.Sprintf("%g,%g", at.X, at.Y))
			}
			m.Areas = append(m.Areas, strings.Join(corners, " "))
		}
	}
	m.Stands = f.standing(s.Cover)
	m.Alt = mapAlt(site, len(m.Areas) > 0)
	if s.DEM == nil {
		return m, nil
	}
	var err error
	m.Shade, m.Unknown, err = f.shade(s.DEM)
	return m, err
}

func mapAlt(site *mesh.Site, searched bool) string {
	count := map[linkbudget.Verdict]int{}
	for i := range site.Links {
		count[site.Links[i].Verdict]++
	}
	var parts []string
	for _, v := range []linkbudget.Verdict{linkbudget.Reaches, linkbudget.Marginal, linkbudget.Short, linkbudget.Unknown} {
		if count[v] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", count[v], v))
		}
	}
	text := fmt.Sprintf("Map, north up: the pole in shaded hills with lines to its %d neighbours", len(site.Links))
	if len(parts) > 0 {
		text += ", " + strings.Join(parts, ", ")
	}
	if searched {
		text += ", and the ground in which a pole is looked for"
	}
	return text + ". The table below tells bearing and distance of each."
}

// scale is a round length of up to a third of the width.
func (f frame) scale() scaleBar {
	most := f.unitM * f.width / 3
	m := math.Pow(10, math.Floor(math.Log10(most)))
	switch {
	case 5*m <= most:
		m *= 5
	case 2*m <= most:
		m *= 2
	}
	text := fmt.Sprintf("%g m", m)
	if m >= 1000 {
		text = fmt.Sprintf("%g km", m/1000)
	}
	return scaleBar{m / f.unitM, text}
}

// The greys of the hillshade, light enough for black on them, and of ground not known.
const (
	darkest, lightest = 150, 250
	unknownGrey       = 255
)

// shade is the hillshade of the map, and whether ground on it is not known.
func (f frame) shade(dem terrain.DEM) (url template.URL, unknown bool, err error) {
	cols, rows := shadePixels, int(shadePixels*f.height/f.width)
	wide, tall := f.width*f.unitM/f.lonM, f.height*f.unitM/f.latM
	l := terrain.Lattice{StepLonDeg: wide / float64(cols), StepLatDeg: tall / float64(rows), Cols: cols, Rows: rows}
	l.WestDeg, l.NorthDeg = f.centre[0]-wide/2+l.StepLonDeg/2, min(f.centre[1]+tall/2-l.StepLatDeg/2, 90)
	light, err := coverage.Hillshade(dem, l)
	if err != nil {
		return "", false, err
	}
	grey := stdimage.NewGray(stdimage.Rect(0, 0, cols, rows))
	for i, v := range light {
		level := uint8(unknownGrey)
		if v == v {
			level = uint8(darkest + (lightest-darkest)*v)
		} else {
			unknown = true
		}
		grey.SetGray(i%cols, i/cols, color.Gray{Y: level})
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, grey, &jpeg.Options{Quality: 40}); err != nil {
		return "", false, err
	}
	return template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(b.Bytes())), unknown, nil
}
