package terrain

import (
	"math"

	"github.com/paulmach/orb"
)

// soleGrid returns the grid that alone answers everywhere in an area, nil for none.
func (g *Grid) soleGrid(a area) (*Grid, error) {
	core := g.core()
	if !core.contains(orb.Point{a.west, a.south}) || !core.contains(orb.Point{a.east, a.north}) {
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
	if !t.tiles[k].undisputed || !core.contains(orb.Point{a.west, a.south}) || !core.contains(orb.Point{a.east, a.north}) {
		return nil, nil
	}
	return t.cache.get(k)
}

// Whole returns the tile that by itself answers for every post of a lattice, and the column and row
// of the lattice's first post in it: a caller may then take heights in place. The tile is read if
// need be. It is nil where there is none: the lattice reaches beyond the tile, its posts are none
// of the tile's (to within 1e-4 of a step), or some other source has a say. The error is that of a
// tile that cannot be read.
func (t *Tiles) Whole(l Lattice) (g *Grid, col, row int, err error) {
	whole, found := l.reach(0), -1
	for k := range t.tiles {
		if !t.tiles[k].hasSay(whole) {
			continue
		}
		if found >= 0 {
			return nil, 0, 0, nil
		}
		found = k
	}
	if found < 0 {
		return nil, 0, 0, nil
	}
	tile := &t.tiles[found]
	west, north := tile.position(l.Post(0, 0))
	east, south := tile.position(l.Post(l.Cols-1, l.Rows-1))
	col, row = int(math.Round(west)), int(math.Round(north))
	off := max(math.Abs(west-float64(col)), math.Abs(north-float64(row)),
		math.Abs(east-float64(col+l.Cols-1)), math.Abs(south-float64(row+l.Rows-1)))
	if !(off <= alignedSteps) || col < 0 || row < 0 || col+l.Cols > tile.Cols || row+l.Rows > tile.Rows {
		return nil, 0, 0, nil
	}
	g, err = t.cache.get(found)
	return g, col, row, err
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
	return soleGridOf(dem, area{west: a.west - lonDeg, east: a.east + lonDeg, south: a.south - latDeg, north: a.north +
		latDeg})
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
