package waypoints

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Waypoint is a place with a name.
type Waypoint struct {
	Name string    // as found, without blanks around it; "" if it has none
	At   orb.Point // degrees, longitude first, WGS 84
}

// Read reads the waypoints of a file, in its order. What it is, its content tells. Errors
// name every fault at once ([fault.ErrInput]): places that are none, files without any.
func Read(data []byte) ([]Waypoint, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	var list []Waypoint
	var err error
	switch start := bytes.TrimSpace(data); {
	case bytes.HasPrefix(start, []byte("<")):
		list, err = readXML(start)
	case bytes.HasPrefix(start, []byte("PK\x03\x04")):
		err = fault.Input("found an archive, allowed GPX, KML or CSV: unpack it, a .kmz holds a .kml")
	case bytes.HasPrefix(start, []byte("{")), bytes.HasPrefix(start, []byte("[")):
		err = fault.Input("found JSON, allowed GPX, KML or CSV: a GeoJSON file of points is a plan already")
	default:
		list, err = readCSV(data)
	}
	if err == nil && len(list) == 0 {
		err = fault.Input("found no waypoint")
	}
	if err != nil {
		return nil, err
	}
	return list, nil
}

// readXML walks through GPX and KML alike: a <wpt> holds its place in attributes, a
// <Placemark> in the coordinates of a <Point>; both have a <name>.
func readXML(data []byte) ([]Waypoint, error) {
	d := xml.NewDecoder(bytes.NewReader(data))
	d.CharsetReader = func(charset string, in io.Reader) (io.Reader, error) {
		if strings.EqualFold(charset, "utf-8") || strings.EqualFold(charset, "us-ascii") {
			return in, nil
		}
		return nil, fmt.Errorf("found the character set %q, allowed UTF-8: save it anew", charset)
	}
	var r xmlReader
	for {
		token, err := d.Token()
		switch {
		case errors.Is(err, io.EOF):
			return r.result()
		case err != nil:
			return nil, fault.Input("found broken XML after %d waypoints: %w", len(r.list), err)
		}
		switch t := token.(type) {
		case xml.StartElement:
			r.begin(t)
		case xml.CharData:
			r.text = append(r.text, t...)
		case xml.EndElement:
			r.end()
		}
	}
}

// xmlReader collects the waypoints of a document.
type xmlReader struct {
	path   []string // names of the open elements
	text   []byte   // of the innermost
	list   []Waypoint
	lines  int // points of tracks, routes and lines, which are no places for poles
	faults []error
	name   string
	lonLat []string // as found, nil if no place was found
}

func (r *xmlReader) begin(t xml.StartElement) {
	r.path, r.text = append(r.path, t.Name.Local), nil
	switch t.Name.Local {
	case "Placemark":
		r.name, r.lonLat = "", nil
	case "wpt":
		r.name, r.lonLat = "", []string{"", ""}
		for _, a := range t.Attr {
			switch a.Name.Local {
			case "lon":
				r.lonLat[0] = a.Value
			case "lat":
				r.lonLat[1] = a.Value
			}
		}
	case "trkpt", "rtept", "LineString":
		r.lines++
	}
}

func (r *xmlReader) end() {
	n := len(r.path)
	parent := ""
	if n > 1 {
		parent = r.path[n-2]
	}
	text := strings.TrimSpace(string(r.text))
	switch element := r.path[n-1]; {
	case element == "name" && (parent == "wpt" || parent == "Placemark"):
		r.name = text
	case element == "coordinates" && parent == "Point":
		r.lonLat = strings.Split(text, ",")
		if len(r.lonLat) < 2 {
			r.lonLat = append(r.lonLat, "")
		}
	case (element == "wpt" || element == "Placemark") && r.lonLat != nil:
		at, err := place(r.lonLat[0], r.lonLat[1])
		if err != nil {
			r.faults = append(r.faults, fmt.Errorf("waypoint %d %q: %w", len(r.list)+len(r.faults)+1, r.name, err))
		} else {
			r.list = append(r.list, Waypoint{r.name, at})
		}
		r.lonLat = nil
	}
	r.path, r.text = r.path[:n-1], nil
}

func (r *xmlReader) result() ([]Waypoint, error) {
	if len(r.list) == 0 && len(r.faults) == 0 && r.lines > 0 {
		return nil, fault.Input("found tracks or lines and no waypoint: mark the places of poles as waypoints")
	}
	return r.list, errors.Join(r.faults...)
}

// place reads a position.
func place(lon, lat string) (orb.Point, error) {
	x, errX := strconv.ParseFloat(strings.TrimSpace(lon), 64)
	y, errY := strconv.ParseFloat(strings.TrimSpace(lat), 64)
	if errX != nil || errY != nil {
		return orb.Point{}, fault.Input("found longitude %q and latitude %q, allowed decimal degrees such as -84.25", lon,
			lat)
	}
	at := orb.Point{x, y}
	if err := terrain.CheckPlace(at); err != nil {
		return orb.Point{}, err
	}
	return at, nil
}
