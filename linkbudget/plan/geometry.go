package plan

import (
	"fmt"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// path names a place in the coordinates of a geometry; -1 means not that deep, or one part alone.
type path struct{ part, ring, pos int }

func (p path) String() string {
	s := "geometry.coordinates"
	for _, i := range [...]int{p.part, p.ring, p.pos} {
		if i >= 0 {
			s += fmt.Sprintf("[%d]", i)
		}
	}
	return s
}

// geometry reads coordinates and reports every position that is not fine.
type geometry struct {
	*faults
	grid *mapGrid
	high bool // a position has an altitude
}

// point reads one position: RFC 7946 §3.1.1, longitude first, degrees in WGS 84
// (§4). The third element it allows, height above the ellipsoid, is passed over, and a fourth, as
// exports of measures have it: neither is the height of an antenna above ground.
func (g *geometry) point(raw []byte, at path) (pt orb.Point) {
	n := 0
	if raw[0] != '[' {
		g.add(at.String(), "found %s, allowed [longitude, latitude]", describe(raw))
		return pt
	}
	for i, e := range elements(raw) {
		n++
		v, ok := parse(e)
		if i >= len(pt) && (ok || isNull(e)) {
			continue
		} else if !ok {
			g.add(at.String(), "found %s, allowed [longitude, latitude] in numbers", describe(e))
			return pt
		}
		pt[i] = v
	}
	switch {
	case n < 2 || n > 4:
		g.add(at.String(), "found %d numbers, allowed 2: [longitude, latitude]", n)
		return pt
	case n > 2:
		g.high = true
	}
	g.position(g.grid, pt, raw, at)
	return pt
}

var longitudeDeg, latitudeDeg = fault.Limits{Min: -180, Max: 180, Unit: "deg"}, fault.Limits{Min: -90, Max: 90,
	Unit: "deg"}

// position says what is probably meant by a place that is none on earth, where that can
// be told; raw is its text, nil where there is none.
func (g *faults) position(grid *mapGrid, pt orb.Point, raw []byte, at path) {
	lonOK, latOK := longitudeDeg.Hold(pt[0]), latitudeDeg.Hold(pt[1])
	if lonOK && latOK || g.said[spot{g.feature, at.String()}] {
		return
	}
	found := shorten(string(raw))
	if raw == nil {
		found = fmt.Sprintf("[%v,%v]", pt[0], pt[1])
	}
	swapped := longitudeDeg.Hold(pt[1]) && latitudeDeg.Hold(pt[0])
	switch {
	case lonOK && swapped:
		g.add(at.String(), "found latitude %g in %s, allowed %s: longitude first; are they swapped?", pt[1], found,
			latitudeDeg)
	case lonOK:
		g.add(at.String(), "found latitude %g in %s, allowed %s", pt[1], found, latitudeDeg)
	case latOK:
		g.add(at.String(), "found longitude %g in %s, allowed %s", pt[0], found, longitudeDeg)
	default:
		grid.add(g, at, found)
	}
}

// line reads the positions of a LineString or of one ring.
func (g *geometry) line(raw []byte, part, ring, least int) (ls orb.LineString) {
	if raw[0] != '[' {
		g.add(path{part, ring, -1}.String(), "found %s, allowed a list of positions", describe(raw))
		return nil
	}
	for i, e := range elements(raw) {
		ls = append(ls, g.point(e, path{part, ring, i}))
	}
	if len(ls) < least {
		g.add(path{part, ring, -1}.String(), "found %d positions, allowed %d or more", len(ls), least)
	}
	return ls
}

// polygon reads rings; checker.ground looks at them.
func (g *geometry) polygon(raw []byte, part int) (poly orb.Polygon) {
	if raw[0] != '[' {
		g.add(path{part, -1, -1}.String(), "found %s, allowed a list of rings", describe(raw))
		return nil
	}
	poly = orb.Polygon{}
	for i, e := range elements(raw) {
		poly = append(poly, orb.Ring(g.line(e, part, i, 0)))
	}
	return poly
}

// parts reads the Polygons of a MultiPolygon.
func (g *geometry) parts(raw []byte) (parts orb.MultiPolygon) {
	for i, e := range elements(raw) {
		parts = append(parts, g.polygon(e, i))
	}
	return parts
}
