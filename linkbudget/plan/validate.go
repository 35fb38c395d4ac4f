package plan

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// Validate lists every fault of the plan at once, each a *FieldError: values out of their
// ranges, unknown words, places that are none on earth, names that are missing or taken,
// links between stations that are not there. Read has done it; whoever puts a plan
// together or changes one by hand may ask, and package mesh does. Lines need not be
// there: the names of a link decide.
func (p *Plan) Validate() error {
	if p == nil {
		return fault.Input("plan: found none")
	}
	c := checker{faults: &faults{source: p.Source, feature: -1}, grid: &mapGrid{source: p.Source}}
	c.plan(p)
	c.grid.report()
	return c.err()
}

// checker looks at values that are in their fields.
type checker struct {
	*faults
	grid *mapGrid
	lost map[string]bool // names of features whose geometry is of no use
}

// plan looks at all of it and returns the stations by name.
func (c *checker) plan(p *Plan) map[string]int {
	index := make(map[string]int, len(p.Stations))
	for i := range p.Stations {
		s := &p.Stations[i]
		c.item(s, "Stations", i)
		c.station(s)
		if first, taken := index[s.Name]; taken {
			where := ""
			if f := &p.Stations[first]; f.raw != nil {
				where = fmt.Sprintf(": feature %d has it; rename one", f.Feature)
			}
			c.add("name", "found %s again, allowed once%s", quote(s.Name), where)
		} else if s.Name != "" {
			index[s.Name] = i
		}
	}
	for i := range p.Links {
		c.item(&p.Links[i], "Links", i)
	}
	for i := range p.Areas {
		c.item(&p.Areas[i], "Areas", i)
	}
	for i := range p.Roads {
		c.item(&p.Roads[i], "Roads", i)
	}
	c.covers(p)
	c.links(p, index)
	c.it = nil
	return index
}

// item begins an item and looks at each of its keys and its place.
func (c *checker) item(it item, of string, place int) {
	c.at(it, of, place)
	for i := range it.keys().list {
		if e := it.keys().list[i].check(it.bind(i)); e != nil {
			c.put(e)
		}
	}
	switch g := it.shape().(type) {
	case orb.Point:
		c.position(c.grid, g, nil, path{-1, -1, -1})
	case orb.LineString:
		c.line(g, -1, -1)
	case orb.Polygon:
		c.ground(g, -1)
	case orb.MultiPolygon:
		for i, part := range g {
			c.ground(part, i)
		}
	}
}

// at says whose the next faults are.
func (f *faults) at(it item, of string, place int) {
	raw, feature := it.source()
	if f.it, f.of, f.place, f.feature = it, of, place, feature; raw == nil {
		f.feature = -1
	}
}

// station looks at keys that need each other or exclude each other.
func (c *checker) station(s *Station) {
	c.missing(s.Name == "", "name", "allowed text: every Point is a station")
	if s.Beam != nil && *s.Beam == Sector {
		c.missing(s.AzimuthDeg == nil, "azimuth_deg", `needed with beam "sector": `+allowed("azimuth_deg"))
	}
	if s.Inside != nil && *s.Inside != "open" && *s.Inside != "free" && s.WoodM != nil && *s.WoodM > 0 {
		c.add("wood_m", "found beside inside %s: both stand for what the antenna is in; give one", quote(*s.Inside))
	}
	if (s.Coax == nil) != (s.CoaxM == nil) {
		c.missing(s.CoaxM == nil, "coax_m", "needed with coax: "+allowed("coax_m"))
		c.missing(s.Coax == nil, "coax", "needed with coax_m: one of "+strings.Join(coaxWords(), ", "))
	}
	if s.NearbyTxDBm != nil || s.NearbyOffsetMHz != nil || s.NearbyIsolationDB != nil {
		const with = "needed with the other nearby keys: "
		c.missing(s.NearbyTxDBm == nil, "nearby_tx_dbm", with+allowed("nearby_tx_dbm"))
		c.missing(s.NearbyOffsetMHz == nil, "nearby_offset_mhz", with+allowed("nearby_offset_mhz"))
		c.missing(s.NearbyIsolationDB == nil, "nearby_isolation_db", with+allowed("nearby_isolation_db"))
	}
}

// allowed tells what a key of a station may say.
func allowed(key string) string { return stationKeys.list[stationKeys.index[key]].allowed }

// links looks at what links name.
func (c *checker) links(p *Plan, index map[string]int) {
	first := map[[2]string]int{} // the two ends in order of the alphabet -> its place in Links
	near := nearest{plan: p, budget: suggestBudget}
	for i := range p.Links {
		l := &p.Links[i]
		c.at(l, "Links", i)
		ok := true
		for _, end := range [...]struct{ key, name string }{{"from", l.From}, {"to", l.To}} {
			c.missing(end.name == "", end.key, "allowed the name of a station")
			if _, there := index[end.name]; !there && !c.lost[end.name] {
				ok = false
				if end.name != "" {
					c.add(end.key, "found %s, allowed the name of a station%s", quote(end.name), near.hint(end.name))
				}
			}
		}
		if !ok {
			continue
		}
		if l.From == l.To {
			c.add("to", "found %s at both ends, allowed two different stations", quote(l.To))
			continue
		}
		// A to B and B to A are one link: both directions are always examined.
		pair := [2]string{min(l.From, l.To), max(l.From, l.To)}
		if other, taken := first[pair]; taken {
			where := ""
			if p.Links[other].raw != nil {
				where = fmt.Sprintf(": feature %d is the first; take one out", p.Links[other].Feature)
			}
			c.add("", "found a second link between %s and %s, allowed one%s", quote(l.From), quote(l.To), where)
			continue
		}
		first[pair] = i
	}
}

func (c *checker) line(ls []orb.Point, part, ring int) {
	for i, pt := range ls {
		c.position(c.grid, pt, nil, path{part, ring, i})
	}
}

// ground looks at rings: RFC 7946 §3.1.6, closed, four positions or more. The winding is
// left as it is, since readers must not insist on it.
func (c *checker) ground(poly orb.Polygon, part int) {
	fault := func(at path, format string, args ...any) {
		if !c.said[spot{c.feature, at.String()}] {
			c.add(at.String(), format, args...)
		}
	}
	if len(poly) == 0 {
		fault(path{part, -1, -1}, "found no ring, allowed 1 or more")
	}
	for i, r := range poly {
		before := c.count
		c.line(r, part, i)
		switch {
		case len(r) < 4:
			fault(path{part, i, -1}, "found %d positions, allowed 4 or more", len(r))
		case c.count == before && !c.said[spot{c.feature, anyKey}] && !r.Closed():
			fault(path{part, i, -1}, "found an open ring (first %v, last %v), allowed one that ends where it begins", r[0],
				r[len(r)-1])
		}
	}
}
