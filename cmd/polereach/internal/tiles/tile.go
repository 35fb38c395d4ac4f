package tiles

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Tile is a square of one degree, or of as many as its distribution has, named after its south-west
// corner.
type Tile struct {
	LatDeg int // -90 to 89
	LonDeg int // -180 to 179
}

// String is the corner as SRTM tiles are named, such as N36W085.
func (t Tile) String() string {
	return terrain.TileName(orb.Point{float64(t.LonDeg), float64(t.LatDeg)})
}

// lat is such as N36, lon such as W085.
func (t Tile) lat() string { return t.String()[:3] }
func (t Tile) lon() string { return t.String()[3:] }

// Around are the tiles within radiusM, metres, of any of the places, sorted from the
// south and the west.
func Around(places []orb.Point, radiusM float64) []Tile {
	var list []Tile
	for _, at := range places {
		eastM, northM := terrain.DegreeSizesM(at.Lat())
		up := radiusM / northM
		// The widest parallel of the disc is the one nearest to a pole.
		side := 180.0
		if far := math.Abs(at.Lat()) + up; far < 90 {
			farEastM, _ := terrain.DegreeSizesM(far)
			side = min(180, radiusM/min(eastM, farEastM))
		}
		list = append(list, Within(orb.Bound{Min: orb.Point{at.Lon() - side, at.Lat() - up},
			Max: orb.Point{at.Lon() + side, at.Lat() + up}})...)
	}
	return sorted(list)
}

// Within are the tiles that a box of degrees touches; longitudes may run over 180.
func Within(box orb.Bound) []Tile {
	var list []Tile
	west, east := math.Floor(box.Min.Lon()), min(math.Ceil(box.Max.Lon()), math.Floor(box.Min.Lon())+360)
	for lat := max(-90, math.Floor(box.Min.Lat())); lat < min(90, math.Ceil(box.Max.Lat())); lat++ {
		for lon := west; lon < east; lon++ {
			list = append(list, Tile{LatDeg: int(lat), LonDeg: int(lon - 360*math.Floor((lon+180)/360))})
		}
	}
	return sorted(list)
}

// Of are the tiles of the distribution that hold those of one degree.
func (d Distribution) Of(list []Tile) []Tile {
	side := d.side()
	down := func(deg, from int) int { return (deg-from)/side*side + from }
	out := make([]Tile, len(list))
	for i, t := range list {
		out[i] = Tile{LatDeg: down(t.LatDeg, -90), LonDeg: down(t.LonDeg, -180)}
	}
	return sorted(out)
}

func sorted(list []Tile) []Tile {
	slices.SortFunc(list, func(a, b Tile) int {
		return cmp.Or(cmp.Compare(a.LatDeg, b.LatDeg), cmp.Compare(a.LonDeg, b.LonDeg))
	})
	return slices.Compact(list)
}
