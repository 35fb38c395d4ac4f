package plan

import (
	"bytes"
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// GeoJSON writes the plan, one feature a line. Whatever was read and not
// changed since comes out with its own text: unknown keys, foreign members,
// ids, digits, altitudes. The names that Points took on are written, and the
// ends that lines found, since both follow from the other features. A station, link or area made by hand
// becomes a new feature at the end, one taken out of its list is gone. A bbox is dropped where a
// geometry changed. The result is read again before it is returned, so the
// error is that of Read, with features counted as they would be written.
func (p *Plan) GeoJSON() ([]byte, error) {
	w := writer{faults: faults{source: p.Source}}
	for i, it := range p.items() {
		if i > 0 {
			w.out.WriteByte(',')
		}
		w.out.WriteByte('\n')
		w.feature, w.name = i, nameOf(it)
		w.writeFeature(it)
	}
	if w.count > 0 {
		return nil, w.err()
	}
	w.moved = w.moved || w.kept != p.features
	out := p.collection(w.out.Bytes(), w.moved)
	if _, err := read(p.Source, out, true); err != nil {
		return nil, err
	}
	return out, nil
}

// items lists what is to be written: by place in the file, then what is new.
func (p *Plan) items() []item {
	var list []item
	list = add(list, p.Stations)
	list = add(list, p.Links)
	list = add(list, p.Areas)
	list = add(list, p.Cover)
	list = add(list, p.Roads)
	list = add(list, p.Results)
	slices.SortStableFunc(list, func(a, b item) int { return cmp.Compare(order(a), order(b)) })
	return list
}

func add[T any, P interface {
	*T
	item
}](list []item, of []T) []item {
	for i := range of {
		list = append(list, P(&of[i]))
	}
	return list
}

func order(it item) int {
	raw, feature := it.source()
	if raw == nil {
		return int(^uint(0) >> 1)
	}
	return feature
}

// nameOf is how messages call an item.
func nameOf(it item) string {
	switch it := it.(type) {
	case *Station:
		return it.Name
	case *Link:
		if name := nameIn(members(find(members(it.raw), "properties")), "name"); name != "" {
			return name
		} else if it.From != "" && it.To != "" {
			return it.From + " - " + it.To
		}
	case *Area:
		return it.Name
	case *Cover:
		return it.Name
	case *Road:
		return it.Name
	}
	return ""
}

// collection puts the features between the other members of the file.
func (p *Plan) collection(features []byte, moved bool) []byte {
	root := p.root
	if root == nil {
		root = []member{{"type", []byte(`"type"`), []byte(`"FeatureCollection"`)}, {"features", []byte(`"features"`), nil}}
	}
	var o object
	for _, m := range root {
		switch {
		case m.name == "features":
			o.add(m.key, []byte("["), features, []byte("\n]"))
		case m.name == "bbox" && moved:
		default:
			o.add(m.key, m.value)
		}
	}
	return append(o.end(), '\n')
}

type writer struct {
	faults
	out   bytes.Buffer
	kept  int  // features that were in the file
	moved bool // some geometry is not that of the file
}

func (w *writer) writeFeature(it item) {
	raw, _ := it.source()
	if raw == nil {
		raw = []byte(`{"type":"Feature","properties":null,"geometry":null}`)
	} else {
		w.kept++
	}
	before, shape := reread(it, raw)
	moved := !orb.Equal(shape, it.shape())
	w.moved = w.moved || moved
	var o object
	wrote := false
	for _, m := range members(raw) {
		switch {
		case m.name == "properties":
			o.add(m.key, w.properties(m.value, before, it))
			wrote = true
		case m.name == "geometry" && (moved || isNull(m.value)):
			o.add(m.key, w.geometry(m.value, it.shape()))
		case m.name == "bbox" && moved:
		default:
			o.add(m.key, m.value)
		}
	}
	if !wrote {
		if props := w.properties([]byte("null"), before, it); !isNull(props) {
			o.add([]byte(`"properties"`), props)
		}
	}
	w.out.Write(o.end())
}

// reread is the item, and its shape, as its text has them, to tell what has changed.
func reread(it item, raw []byte) (item, orb.Geometry) {
	before := reflect.New(reflect.TypeOf(it).Elem()).Interface().(item)
	if l, ok := before.(*Link); ok {
		l.Required = true
	}
	f := members(raw)
	for _, m := range members(find(f, "properties")) {
		if k, field := known(before, m.name); field != nil && !isNull(m.value) {
			k.take(field, m.value)
		}
	}
	g := geometry{faults: &faults{}, grid: &mapGrid{}}
	of := members(find(f, "geometry"))
	coordinates := find(of, "coordinates")
	if kind := find(of, "type"); coordinates != nil && strings.HasPrefix(string(kind), `"Multi`) {
		_, inner, parts := unwrapped("", coordinates)
		if parts > 1 {
			return before, g.parts(coordinates)
		}
		coordinates = inner
	}
	if coordinates == nil { // made by hand
		return before, nil
	}
	switch it.shape().(type) {
	case orb.Point:
		return before, g.point(coordinates, path{-1, -1, -1})
	case orb.Polygon:
		return before, g.polygon(coordinates, -1)
	}
	return before, g.line(coordinates, -1, -1, 2)
}

// properties writes changed keys anew, the others as they stood.
func (w *writer) properties(raw []byte, before, now item) []byte {
	var o object
	done := map[string]bool{}
	for _, m := range members(raw) {
		k, field := known(now, m.name)
		if field == nil {
			o.add(m.key, m.value)
			continue
		}
		done[m.name] = true
		_, of := known(before, m.name)
		was, _ := k.write(of)
		if is := w.json(k, field); bytes.Equal(was, is) {
			o.add(m.key, m.value)
		} else if is != nil {
			o.add(m.key, is)
		}
	}
	for i := range now.keys().list {
		if k := &now.keys().list[i]; !done[k.Name] {
			if is := w.json(k, now.bind(i)); is != nil {
				o.add([]byte(`"`+k.Name+`"`), is)
			}
		}
	}
	if isNull(raw) && o.b == nil {
		return raw
	}
	return o.end()
}

func (w *writer) json(k *Key, field any) []byte {
	is, err := k.write(field)
	if err != nil {
		w.add(k.Name, "%v", err)
	}
	return is
}

// geometry writes the coordinates anew and keeps foreign members beside them.
func (w *writer) geometry(raw []byte, g orb.Geometry) []byte {
	coordinates, err := encode(g)
	if err != nil {
		w.add("geometry.coordinates", "%v", err)
	}
	if isNull(raw) {
		raw = fmt.Appendf(nil, `{"type":%q,"coordinates":null}`, g.GeoJSONType())
	}
	var o object
	for _, m := range members(raw) {
		switch m.name {
		case "coordinates":
			o.add(m.key, coordinates)
		case "type": // one that had a single part
			o.add(m.key, fmt.Appendf(nil, "%q", g.GeoJSONType()))
		case "bbox":
		default:
			o.add(m.key, m.value)
		}
	}
	return o.end()
}

// object writes the members of one JSON object.
type object struct{ b []byte }

func (o *object) add(key []byte, value ...[]byte) {
	if o.b == nil {
		o.b = append(o.b, '{')
	} else {
		o.b = append(o.b, ',')
	}
	o.b = append(append(o.b, key...), ':')
	for _, v := range value {
		o.b = append(o.b, v...)
	}
}

func (o *object) end() []byte {
	if o.b == nil {
		return []byte("{}")
	}
	return append(o.b, '}')
}
