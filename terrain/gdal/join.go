//go:build gdal

package gdal

import (
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Join makes one DEM of rasters, the preferred one first, as [terrain.Stack]
// does. Rasters that continue each other are read as one: same system, same
// spacing, posts in step to within 1e-4 of it. Between their outermost posts
// heights are interpolated from both. A nil raster is left out.
func Join(rasters ...*Raster) terrain.DEM {
	var groups []*group
	for _, r := range rasters {
		if r != nil {
			groups = joinOne(groups, r)
		}
	}
	dems := make([]terrain.DEM, len(groups))
	for i, g := range groups {
		g.finish()
		dems[i] = g
	}
	if len(dems) == 1 {
		return dems[0]
	}
	return terrain.Stack(dems...)
}

// joinOne adds a raster to the group it continues. Groups behind that one are
// then asked later than the raster; it joins only if none of them overlaps it.
func joinOne(groups []*group, r *Raster) []*group {
	for k := len(groups) - 1; k >= 0; k-- {
		g := groups[k]
		if cols, rows, ok := g.frame.same(r.frame); ok {
			g.add(r, r.col+cols, r.row+rows)
			return groups
		}
		if g.overlaps(r) {
			break
		}
	}
	return append(groups, newGroup(r))
}

// overlaps reports whether any raster of the group shares ground with r, or
// nearly so.
func (g *group) overlaps(r *Raster) bool {
	e := r.info.Extent
	b := e.Bound.Pad(2 * max(e.StepLonDeg, e.StepLatDeg))
	for _, t := range g.tiles {
		o := t.r.info.Extent.Bound
		for _, turn := range []float64{-360, 0, 360} {
			shifted := orb.Bound{Min: orb.Point{o.Min[0] + turn, o.Min[1]}, Max: orb.Point{o.Max[0] + turn, o.Max[1]}}
			if b.Intersects(shifted) {
				return true
			}
		}
	}
	return false
}
