package handheld

import (
	"encoding/xml"
	"io"
	"math"
	"strconv"

	"github.com/polereach/polereach/terrain/fault"
)

// Write writes the sheet in a format: "kml" or "gpx".
func (s *Sheet) Write(w io.Writer, format string) error {
	switch format {
	case "kml":
		return s.WriteKML(w)
	case "gpx":
		return s.WriteGPX(w)
	}
	return fault.Found("format", strconv.Quote(format), "kml, gpx")
}

// gpxFile is GPX 1.1 (Topografix, 2004), the elements in the order of its schema.
type gpxFile struct {
	XMLName  xml.Name    `xml:"http://www.topografix.com/GPX/1/1 gpx"`
	Version  string      `xml:"version,attr"`
	Creator  string      `xml:"creator,attr"`
	Metadata gpxMetadata `xml:"metadata"`
	Points   []gpxPoint  `xml:"wpt"`
	Routes   []gpxRoute  `xml:"rte"`
}

type gpxMetadata struct {
	Name string `xml:"name"`
	Desc string `xml:"desc"`
}

// gpxPoint is a wptType.
type gpxPoint struct {
	Lat    string `xml:"lat,attr"`
	Lon    string `xml:"lon,attr"`
	Ele    string `xml:"ele,omitempty"`    // m
	Magvar string `xml:"magvar,omitempty"` // degrees, 0 up to but not including 360
	Name   string `xml:"name"`
	Desc   string `xml:"desc,omitempty"`
	Type   string `xml:"type,omitempty"`
}

type gpxRoute struct {
	Name   string     `xml:"name"`
	Desc   string     `xml:"desc"`
	Type   string     `xml:"type"`
	Points []gpxPoint `xml:"rtept"`
}

// WriteGPX writes the sheet as GPX 1.1: poles as waypoints with the height of the ground and
// all that is told of them as description, links as routes of two points, whose type is
// their state. Errors are those of w.
func (s *Sheet) WriteGPX(w io.Writer) (err error) {
	defer fault.Recovered(&err)
	f := gpxFile{Version: "1.1", Creator: "polereach", Metadata: gpxMetadata{s.Name, s.About}}
	for i := range s.Marks {
		m := &s.Marks[i]
		p := m.gpx()
		p.Desc, p.Type = m.text(), m.Kind
		if m.MagneticDeg == m.MagneticDeg {
			p.Magvar = number(math.Mod(math.Round(10*m.MagneticDeg)/10+360, 360), 1)
		}
		f.Points = append(f.Points, p)
	}
	for i := range s.Lines {
		l := &s.Lines[i]
		f.Routes = append(f.Routes, gpxRoute{l.name(), l.note(), l.Verdict.String(), []gpxPoint{l.From.gpx(), l.To.gpx()}})
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	out := xml.NewEncoder(w)
	out.Indent("", " ")
	if err := out.Encode(f); err != nil {
		return err
	}
	_, err = io.WriteString(w, "\n")
	return err
}

// gpx is a mark as a point.
func (m *Mark) gpx() gpxPoint {
	p := gpxPoint{Lat: number(m.At.Lat(), 7), Lon: number(m.At.Lon(), 7), Name: m.Name}
	if m.GroundM == m.GroundM {
		p.Ele = number(m.GroundM, 1)
	}
	return p
}
