package plan

import (
	"fmt"
	"strings"
)

// readCRS refuses a member "crs", as GeoJSON of 2008 had it, that names anything but
// WGS 84 (RFC 7946 §4): every position would be taken for another place.
func (r *reader) readCRS() {
	raw := find(r.plan.root, "crs")
	if isAbsent(raw) {
		return
	}
	found := describe(raw)
	if name := find(members(find(members(raw), "properties")), "name"); name != nil {
		found = describe(name)
	}
	bare := strings.TrimSuffix(found, `"`)
	for _, end := range []string{"CRS84", ":4326", "WGS84", "WGS 84"} {
		if strings.HasSuffix(bare, end) {
			return
		}
	}
	r.grid.reported = true // what its metres would say follows from this
	r.add("crs", "found %s, allowed WGS 84 (EPSG:4326, CRS84; RFC 7946 section 4): "+
		"%s writes the file anew in it", found, ogr(r.plan.Source, ""))
}

// mapGrid counts positions that can only be metres of a map grid: one slip, not many.
type mapGrid struct {
	source   string
	first    *FieldError
	count    int
	reported bool
}

func (g *mapGrid) add(f *faults, at path, found string) {
	f.tell(at.String())
	if g.count++; g.count == 1 && !g.reported {
		g.first = &FieldError{Key: at.String(),
			Problem: fmt.Sprintf("found %s, allowed longitude %s and latitude %s in WGS 84; are these metres of a map grid? "+
				"%s, CODE being that of the grid, writes the file anew", found, longitudeDeg, latitudeDeg,
				ogr(g.source, "-s_srs EPSG:CODE "))}
		f.put(g.first)
	}
}

// report tells how many.
func (g *mapGrid) report() {
	if g.first != nil && g.count > 1 {
		g.first.Problem += fmt.Sprintf(" (so in %d positions)", g.count)
	}
}
