package terrain

import (
	"fmt"

	"github.com/paulmach/orb"
)

// soleSource is a DEM that can tell which grid alone answers everywhere in an
// area. Nil means that none does, or that it is not known.
type soleSource interface {
	soleGrid(a area) (*Grid, error)
}

// soleGrid implements soleSource.
func (g *Grid) soleGrid(a area) (*Grid, error) {
	marginLon, marginLat := coreMargin*g.StepLonDeg, coreMargin*g.StepLatDeg
	if !(a.west >= g.WestDeg+marginLon && a.east <= g.WestDeg+float64(g.Cols-1)*g.StepLonDeg-marginLon &&
		a.north <= g.NorthDeg-marginLat && a.south >= g.NorthDeg-float64(g.Rows-1)*g.StepLatDeg+marginLat) {
		return nil, nil
	}
	return g, g.Check()
}

// soleGrid implements soleSource.
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

// soleGrid implements soleSource: what the first DEM knows, the others are not
// asked about.
func (s stack) soleGrid(a area) (*Grid, error) {
	if len(s) > 0 {
		if first, ok := s[0].(soleSource); ok {
			return first.soleGrid(a)
		}
	}
	return nil, nil
}

// overOneGrid makes p the profile of n points along a line that one grid alone
// knows, places and heights in one pass: what alongLine and Heights give, but that
// inner points are not snapped to posts (snapStep). It reports false where the line
// needs more than one polynomial, where the grid does not reach, or where a height
// is missing.
func (p *Profile) overOneGrid(dem DEM, line *geodesicLine, a, b orb.Point, n int) (bool, error) {
	sole, ok := dem.(soleSource)
	if !ok || n < 3 || line.DistM > line.nodeSpacingM() {
		return false, nil
	}
	from, to := line.start.node(line.DistM), line.end.node(line.DistM)
	within := area{west: lowest(from.lon, to.lon), east: highest(from.lon, to.lon), south: lowest(from.lat, to.lat), north: highest(from.lat, to.lat)}
	if !within180(from.lon, to.lon) {
		return false, nil
	}
	grid, err := sole.soleGrid(within)
	if err != nil {
		return false, fmt.Errorf("profile from %v to %v: %w", a, b, err)
	}
	if grid == nil {
		return false, nil
	}
	p.makeLong(line, n)
	last := n - 1
	known := p.walk(grid, hermite(from.lon, to.lon), hermite(from.lat, to.lat), line.DistM)
	p.DistM[last], p.Points[last] = line.DistM, orb.Point{longitude180(b[0]), b[1]}
	for _, i := range [2]int{0, last} { // poles may stand on posts
		if p.HeightM[i], p.Flags[i] = grid.height(p.Points[i]); p.Flags[i] != Ground {
			return false, nil
		}
	}
	clear(p.Flags)
	return known, nil
}

// walk fills in the points along a curve, given over 0 to 1, that lies wholly
// between the posts of the grid, at equal distances, and reports whether all heights
// are known.
func (p *Profile) walk(grid *Grid, lon, lat cubic, lengthM float64) (known bool) {
	if done, known := p.walkQuickly(grid, lon, lat, lengthM); done {
		return known
	}
	return finite(p.walkSlowly(grid, lon, lat, lengthM))
}

// walkAhead is how many points walkSlowly places before it looks at their posts.
const walkAhead = 16

// walkSlowly is walk, one point after the other, and returns the sum of the heights:
// no number if one is missing.
func (p *Profile) walkSlowly(grid *Grid, lon, lat cubic, lengthM float64) (sum float64) {
	n := len(p.DistM)
	stepM, perM := lengthM/float64(n-1), 1/lengthM
	perLon, perLat := 1/grid.StepLonDeg, 1/grid.StepLatDeg
	west, north, cols, h := grid.WestDeg, grid.NorthDeg, grid.Cols, grid.HeightM
	dist, height, points := p.DistM[:n], p.HeightM[:n], p.Points[:n]
	// First where some points lie, then their heights: so that the posts of all of
	// them are on their way from memory at once.
	var (
		post [walkAhead]int
		part [walkAhead][2]float64
	)
	for from := 0; from < n; from += walkAhead {
		to := min(from+walkAhead, n)
		dists, places := dist[from:to], points[from:to]
		for i := range dists {
			d := stepM * float64(from+i)
			t := d * perM
			lonDeg, latDeg := lon.at(t), lat.at(t)
			dists[i], places[i][0], places[i][1] = d, lonDeg, latDeg // a Point whole goes by way of the stack
			x, y := (lonDeg-west)*perLon, (north-latDeg)*perLat
			col, row := int(x), int(y)
			post[i&(walkAhead-1)] = row*cols + col
			part[i&(walkAhead-1)][0], part[i&(walkAhead-1)][1] = x-float64(col), y-float64(row)
		}
		for i := range height[from:to] {
			nw, u, v := post[i&(walkAhead-1)], part[i&(walkAhead-1)][0], part[i&(walkAhead-1)][1]
			upper, lower := h[nw:nw+2:nw+2], h[nw+cols:nw+cols+2:nw+cols+2]
			z := (1-v)*((1-u)*float64(upper[0])+u*float64(upper[1])) + v*((1-u)*float64(lower[0])+u*float64(lower[1]))
			height[from+i] = z
			sum += z
		}
	}
	return sum
}
