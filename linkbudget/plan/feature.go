package plan

import (
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// readFeature reads one feature whatever is wrong with it, so that each fault
// is reported and none follows from another.
func (r *reader) readFeature(raw []byte) {
	if raw[0] != '{' {
		r.add("", "found %s, allowed a Feature", describe(raw))
		return
	}
	r.ofFeature = appendMembers(r.ofFeature[:0], raw)
	f := r.ofFeature
	properties := find(f, "properties")
	r.ofProperties = appendMembers(r.ofProperties[:0], properties)
	props := r.ofProperties
	r.name, r.alias, r.part = nameIn(props, "name"), "", false
	named := r.name != ""
	if !named {
		r.name = nameOf(&Link{From: nameIn(props, "from"), To: nameIn(props, "to")})
	}
	r.repeated(raw)
	if kind := find(f, "type"); kind == nil {
		r.add("type", `missing, allowed "Feature"`)
	} else if wordIndex(kind, []string{"Feature"}) < 0 {
		r.add("type", `found %s, allowed "Feature"`, describe(kind))
	}
	if properties != nil && properties[0] != '{' {
		r.add("properties", "found %s, allowed an object", describe(properties))
		props = nil
	}
	shape, coordinates := r.shape(f)
	g := geometry{faults: &r.faults, grid: &r.grid}
	if !named && (shape == "Point" || strings.HasSuffix(shape, "Polygon")) && isAbsent(find(props, "name")) {
		named = r.nickname(f, props, shape)
	} else {
		named = true
	}
	switch shape {
	case "Point":
		r.points++
		s := &r.one
		*s = Station{Feature: r.feature, raw: raw}
		if coordinates != nil {
			s.At = g.point(coordinates, path{-1, -1, -1})
		}
		r.properties(props, s, shape)
		r.idle(s)
		if !named {
			r.nameless = append(r.nameless, nameless{len(r.plan.Stations), r.nick, r.nickFrom, r.points})
		}
		r.plan.Stations = append(r.plan.Stations, *s) // faulty or not: links may name it
	case "LineString":
		var line orb.LineString
		if coordinates != nil {
			line = g.line(coordinates, -1, -1, 2)
		}
		switch {
		case isRoad(props):
			r.road(Road{Line: line, Feature: r.feature, raw: raw}, props)
		case r.isUnwanted(props):
			r.plan.Results = append(r.plan.Results, Result{Line: line, Feature: r.feature, raw: raw})
		default:
			l := Link{Required: true, Line: line, Feature: r.feature, raw: raw}
			r.properties(props, &l, shape)
			r.plan.Links = append(r.plan.Links, l)
		}
	case "Polygon":
		var polygon orb.Polygon
		if coordinates != nil {
			polygon = g.polygon(coordinates, -1)
		}
		if isCover(props) {
			r.cover(Cover{Parts: orb.MultiPolygon{polygon}, Feature: r.feature, raw: raw}, props, named)
			break
		}
		a := Area{Polygon: polygon, Feature: r.feature, raw: raw}
		r.properties(props, &a, shape)
		if !named {
			a.Name = r.nick
		}
		r.plan.Areas = append(r.plan.Areas, a)
	case "MultiPolygon":
		r.cover(Cover{Parts: g.parts(coordinates), Feature: r.feature, raw: raw}, props, named)
	default: // reported; it may be the station that links name
		r.points++
		r.lost[r.name] = true
	}
	if g.high {
		r.took(altitude, "")
	}
	if r.part {
		r.took(onePart, "")
	}
}

// nickname finds what names a feature without a name, for messages at once, for a Point for
// good when all are read: false, and nick is what it was, nickFrom where.
func (r *reader) nickname(f, props []member, shape string) (named bool) {
	if shape != "Point" { // needs none
		if r.nick, r.alias = otherName(props, otherNames[:labels]); r.nick == "" {
			return true
		}
		r.name = r.nick
		r.took(namedAs, "by %s", clip(r.alias))
		return false
	}
	if r.nick, r.nickFrom = otherName(props, otherNames); r.nick != "" {
		r.alias = r.nickFrom
	} else if id := find(f, "id"); id != nil {
		if r.nick = nameText(id); r.nick != "" {
			r.nickFrom = "the id of the feature"
		}
	}
	r.name = r.nick
	return false
}

// isUnwanted tells a drawing, see [Result], from a link.
func (r *reader) isUnwanted(props []member) bool {
	wanted := find(props, "wanted")
	if wanted == nil {
		return false
	}
	yes, known := truth(wanted)
	if known && string(wanted) != "true" && string(wanted) != "false" {
		r.took(truthAsText, "in wanted, %s", describe(wanted))
	}
	return known && !yes
}

// nameIn is the last name under a key, "" where it is none.
func nameIn(props []member, key string) (name string) {
	for _, m := range props {
		if m.name == key {
			if s := nameText(m.value); s != "" {
				name = s
			}
		}
	}
	return name
}

// shape returns the type of a geometry and its coordinates; "" is no usable
// type, nil no coordinates, both already reported.
func (r *reader) shape(feature []member) (kind string, coordinates []byte) {
	const allowed = "allowed Point (station), LineString (link) or Polygon (ground for a pole)"
	refuse := func(key, found string) (string, []byte) {
		r.add(key, "%s, %s", found, allowed)
		return "", nil
	}
	raw := find(feature, "geometry")
	switch {
	case raw != nil && raw[0] != '{':
		return refuse("geometry", "found "+describe(raw))
	case raw == nil && slices.ContainsFunc(feature, func(m member) bool { return m.name == "geometry" }):
		r.add("geometry", "found null, %s: draw its place, or take the feature out", allowed)
		return "", nil
	case raw == nil:
		return refuse("geometry", "missing")
	}
	r.ofGeometry = appendMembers(r.ofGeometry[:0], raw)
	g := r.ofGeometry
	typ := find(g, "type")
	if typ == nil {
		return refuse("geometry.type", "missing")
	}
	if typ[0] == '"' {
		kind = unquote(typ)
	}
	switch kind {
	case "Point", "LineString", "Polygon":
	case "MultiPoint", "MultiLineString", "MultiPolygon":
		single, inner, parts := unwrapped(kind, find(g, "coordinates"))
		if parts == 1 {
			r.part = true
			return single, inner
		} else if kind == "MultiPolygon" && parts > 1 && isCover(r.ofProperties) {
			return kind, find(g, "coordinates")
		}
		r.add("geometry.type", "found %s of %d parts, %s: split it into single parts, as does %s", kind, parts, allowed,
			explode(r.plan.Source))
		return "", nil
	case "GeometryCollection":
		r.add("geometry.type", "found %s, %s: split it into single parts, as does %s", kind, allowed, explode(r.plan.Source))
		return "", nil
	default:
		return refuse("geometry.type", "found "+describe(typ))
	}
	if coordinates = find(g, "coordinates"); coordinates == nil {
		r.add("geometry.coordinates", "missing, allowed those of a %s", kind)
	}
	return kind, coordinates
}

// properties reads the known keys into it and notes those that look like slips.
func (r *reader) properties(props []member, it item, shape string) {
	for _, m := range props {
		if isNull(m.value) || m.name == r.alias {
			continue
		}
		k, field := known(it, m.name)
		switch {
		case k == nil && surveyed(m.name, m.value) != nil:
			r.took(numberAsText, "in %s, %s", m.name, describe(m.value))
		case k == nil:
			r.unknown(&r.faults, m.name, it, shape, props)
		case k.allowed != "" && isBlank(m.value):
			r.took(emptyCell, "in %s", m.name)
		default:
			taken, e := k.take(field, m.value)
			if e != nil {
				r.put(e)
			} else if taken != noLiberty {
				r.took(taken, "in %s, %s", m.name, describe(m.value))
			}
		}
	}
}

// idle notes keys that have no effect beside the others: allowed, since a table
// editor writes every column of every row, but often half of a setting.
func (r *reader) idle(s *Station) {
	if s.ClutterTopM != nil && *s.ClutterTopM > 0 {
		switch {
		case s.Inside == nil:
			r.told(&r.faults, "clutter_top_m alone", `key "clutter_top_m" counts for open country without inside`)
		case *s.Inside == "free":
			r.told(&r.faults, "clutter_top_m free", `key "clutter_top_m" has no effect beside inside "free"`)
		}
	}
	omni := s.Beam == nil || *s.Beam != Sector
	if omni && s.AzimuthDeg != nil {
		r.without(&r.faults, "azimuth_deg", `beam "sector"`)
	}
	if omni && s.BeamwidthDeg != nil {
		r.without(&r.faults, "beamwidth_deg", `beam "sector"`)
	}
}
