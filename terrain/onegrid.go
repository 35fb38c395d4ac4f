package terrain

import "github.com/paulmach/orb"

// soleGrid returns the grid that alone answers everywhere in an area, nil for none.
func (g *Grid) soleGrid(a area) (*Grid, error) {
	marginLon, marginLat := coreMargin*g.StepLonDeg, coreMargin*g.StepLatDeg
	if !(a.west >= g.WestDeg+marginLon && a.east <= g.WestDeg+float64(g.Cols-1)*g.StepLonDeg-marginLon &&
		a.north <= g.NorthDeg-marginLat && a.south >= g.NorthDeg-float64(g.Rows-1)*g.StepLatDeg+marginLat) {
		return nil, nil
	}
	return g, g.Check()
}

// soleGrid is that of a Grid.
func (t *Tiles) soleGrid(a area) (*Grid, error) {
	k, inside := t.next(orb.Point{a.west, a.south}, 0)
	if !inside {
		return nil, nil
	}
	core := t.tiles[k].core
	if !t.tiles[k].undisputed || !(a.west >= core.west && a.east <= core.east && a.south >= core.south && a.north <= core.north) {
		return nil, nil
	}
	return t.cache.get(k)
}

// soleGridOf is soleGrid of the DEMs of this package themselves: one that embeds them may
// give other heights. Of a stack the first answers where it knows the ground.
func soleGridOf(dem DEM, a area) (*Grid, error) {
	switch d := dem.(type) {
	case *Grid:
		return d.soleGrid(a)
	case *Tiles:
		return d.soleGrid(a)
	case stack:
		if len(d) > 0 {
			return soleGridOf(d[0], a)
		}
	}
	return nil, nil
}

// soleGrid returns the grid that alone answers everywhere along the line, nil if there
// is none.
func soleGrid(dem DEM, line *geodesicLine) (*Grid, error) {
	a := line.area()
	if a.west < -180 || a.east > 180 {
		return nil, nil
	}
	// Places are right to within 1 mm: posts may be as close.
	lonDeg, latDeg := 1e-3/line.leastLonM, 1e-3/line.leastLatM
	return soleGridOf(dem, area{west: a.west - lonDeg, east: a.east + lonDeg, south: a.south - latDeg, north: a.north + latDeg})
}

// area returns the area that the line lies in, longitudes counted on without
// a jump at ±180.
func (l *geodesicLine) area() area {
	a := area{
		west: min(l.start.place[0], l.end.place[0]), east: max(l.start.place[0], l.end.place[0]),
		south: min(l.start.place[1], l.end.place[1]), north: max(l.start.place[1], l.end.place[1]),
	}
	if l.start.cos > 0 && l.end.cos < 0 {
		a.north = l.maxAbsLatDeg
	} else if l.start.cos < 0 && l.end.cos > 0 {
		a.south = -l.maxAbsLatDeg
	}
	return a
}
