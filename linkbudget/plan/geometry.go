package plan

import (
	"fmt"

	"github.com/paulmach/orb"
)

// path names a place in the coordinates of a geometry; -1 means not that deep.
type path struct{ ring, pos int }

func (p path) String() string {
	s := "geometry.coordinates"
	if p.ring >= 0 {
		s += fmt.Sprintf("[%d]", p.ring)
	}
	if p.pos >= 0 {
		s += fmt.Sprintf("[%d]", p.pos)
	}
	return s
}

// geometry reads coordinates and reports every position that is not fine.
type geometry struct {
	*faults
	grid *mapGrid
	deep bool // a third coordinate was reported already: it is one slip, not many
}

// point reads one position: RFC 7946 §3.1.1, longitude first, degrees in WGS 84
// (§4). The third element it allows, height above the ellipsoid, is refused: a
// reader might take it for the height of the antenna.
func (g *geometry) point(raw []byte, at path) (pt orb.Point) {
	n := 0
	if raw[0] != '[' {
		g.add(at.String(), "found %s, allowed [longitude, latitude]", describe(raw))
		return pt
	}
	for i, e := range elements(raw) {
		if n++; i >= len(pt) {
			continue
		}
		v, ok := parse(e)
		if !ok {
			g.add(at.String(), "found %s, allowed [longitude, latitude] in numbers", describe(e))
			return pt
		}
		pt[i] = v
	}
	switch {
	case n == 3 || n == 4:
		if !g.deep {
			g.add(at.String(), "found altitude (%d numbers %s), allowed [longitude, latitude]: altitude is not used, give height_m above ground", n, shorten(string(raw)))
		}
		g.deep = true
		return pt
	case n != 2:
		g.add(at.String(), "found %d numbers, allowed 2: [longitude, latitude]", n)
		return pt
	}
	g.inRange(pt, raw, at)
	return pt
}

var longitudeDeg, latitudeDeg = span{-180, 180, " deg", false}, span{-90, 90, " deg", false}

// inRange says what is probably meant, where that can be told.
func (g *geometry) inRange(pt orb.Point, raw []byte, at path) {
	found := shorten(string(raw))
	swapped := longitudeDeg.holds(pt[1]) && latitudeDeg.holds(pt[0])
	switch lonOK, latOK := longitudeDeg.holds(pt[0]), latitudeDeg.holds(pt[1]); {
	case lonOK && latOK:
	case lonOK && swapped:
		g.add(at.String(), "found latitude %g in %s, allowed %s: longitude first; are they swapped?", pt[1], found, latitudeDeg)
	case lonOK:
		g.add(at.String(), "found latitude %g in %s, allowed %s", pt[1], found, latitudeDeg)
	case latOK:
		g.add(at.String(), "found longitude %g in %s, allowed %s", pt[0], found, longitudeDeg)
	default:
		g.grid.add(g.faults, at, found)
	}
}

// line reads the positions of a LineString or of one ring.
func (g *geometry) line(raw []byte, ring, least int) (ls orb.LineString) {
	if raw[0] != '[' {
		g.add(path{ring, -1}.String(), "found %s, allowed a list of positions", describe(raw))
		return nil
	}
	for i, e := range elements(raw) {
		ls = append(ls, g.point(e, path{ring, i}))
	}
	if len(ls) < least {
		g.add(path{ring, -1}.String(), "found %d positions, allowed %d or more", len(ls), least)
	}
	return ls
}

// polygon reads rings: RFC 7946 §3.1.6, closed, four positions or more. The
// winding is left as it is, since readers must not insist on it.
func (g *geometry) polygon(raw []byte) (poly orb.Polygon) {
	if raw[0] != '[' {
		g.add(path{-1, -1}.String(), "found %s, allowed a list of rings", describe(raw))
		return nil
	}
	for i, e := range elements(raw) {
		before := len(g.list)
		r := orb.Ring(g.line(e, i, 4))
		if len(g.list) == before && !r.Closed() {
			g.add(path{i, -1}.String(), "found an open ring (first %v, last %v), allowed one that ends where it begins", r[0], r[len(r)-1])
		}
		poly = append(poly, r)
	}
	if len(poly) == 0 {
		g.add(path{-1, -1}.String(), "found no ring, allowed 1 or more")
	}
	return poly
}
