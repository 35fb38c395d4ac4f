package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// mapStand is what stands on the ground, the rings of one Polygon as a path.
type mapStand struct{ Class, Colour, Path string }

var standColours = map[terrain.CoverClass]string{
	terrain.CoverWater: "#0072b2", terrain.CoverOpen: "#968200", terrain.CoverSuburban: "#e69f00",
	terrain.CoverWood: "#009e73", terrain.CoverUrban: "#d55e00", terrain.CoverDenseUrban: "#000",
}

// StandKey is one of each class of what stands on the map.
func (m *siteMap) StandKey() (key []mapStand) {
	for _, s := range m.Stands {
		if !slices.ContainsFunc(key, func(k mapStand) bool { return k.Class == s.Class }) {
			key = append(key, s)
		}
	}
	return key
}

// standing are the Polygons of which some may be on the map.
func (f frame) standing(cover []plan.Cover) (list []mapStand) {
	for i := range cover {
		class := cover[i].Standing().Class
		for _, part := range cover[i].Parts {
			var path strings.Builder
			west, north, east, south := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
			for _, ring := range part {
				var last mapPoint
				for k, place := range ring {
					at := f.point(place)
					west, north, east, south = min(west, at.X), min(north, at.Y), max(east, at.X), max(south, at.Y)
					if k == 0 || at != last {
						fmt.Fprintf(&path, "%c%g %g", "ML"[min(k, 1)], at.X, at.Y)
					}
					last = at
				}
				path.WriteByte('z')
			}
			if west < f.width && north < f.height && east > 0 && south > 0 {
				list = append(list, mapStand{class.String(), standColours[class], path.String()})
			}
		}
	}
	return list
}
