package report

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
)

const (
	// schemaKey marks a feature that carries our figures: in one that does not, a
	// key of ours is the user's and is kept, renamed.
	schemaKey = "polereach_schema"
	// summaryKey is the foreign member with the answer for the whole mesh. GIS
	// editors drop foreign members, so where it stands nothing was edited since.
	summaryKey = "polereach"
	keptPrefix = "input_"
)

// MeshGeoJSON writes the plan with all figures as properties (RFC 7946): those
// of MeshCSV on links, those of a pole in the JSON, flat, on stations. Features,
// their properties and foreign members are those of the plan and stay as they
// stood; figures of an earlier run are replaced, and a property of the user's
// that has the name of a figure becomes input_NAME. Pairs that are no link of
// the plan are appended with "wanted": false and "required": false, in place of
// those of an earlier run: read again the file is the same plan, see plan.Result.
// The error is that of plan.GeoJSON or of w.
func MeshGeoJSON(w io.Writer, m *mesh.Mesh) error {
	text, err := m.Plan.GeoJSON()
	if err != nil {
		return err
	}
	again, err := plan.Read(m.Plan.Source, text)
	if err != nil {
		return err
	}
	root, features, err := rawCollection(text)
	if err != nil {
		return err
	}
	if err := errors.Join(annotatePoles(m, again, features), annotateLinks(m, again, features)); err != nil {
		return err
	}
	features = withoutResults(again, features)
	var summary object
	summary.encode(newMeshSummary(m))
	head := append(root.without("features", summaryKey), rawMember{summaryKey, summary.b})
	return writeCollection(w, head, features, otherPairs(m))
}

// writeCollection writes one feature a line, the features last. Those of extra
// are made one at a time, so that a large mesh is not held twice.
func writeCollection(w io.Writer, head rawObject, features []rawObject, extra iter.Seq[[]byte]) error {
	var o object
	o.open('{')
	o.members(head)
	o.b = append(o.b, ",\n\"features\":["...)
	separator := "\n"
	begin := func() error {
		var err error
		if len(o.b) >= 1<<16 {
			_, err = w.Write(o.b)
			o.b = o.b[:0]
		}
		o.b = append(o.b, separator...)
		separator = ",\n"
		return err
	}
	for _, f := range features {
		if err := begin(); err != nil {
			return err
		}
		o.b = append(o.b, '{')
		o.members(f)
		o.close('}')
	}
	for f := range extra {
		if err := begin(); err != nil {
			return err
		}
		o.b = append(o.b, f...)
	}
	_, err := w.Write(append(o.b, "\n]}\n"...))
	return err
}

// annotate puts figures into the properties of a feature; keys are all that a
// feature of its kind may carry.
func annotate(feature *rawObject, keys []string, figures func(o *object)) error {
	var props rawObject
	if raw, ok := feature.find("properties"); ok {
		if err := json.Unmarshal(raw, &props); err != nil {
			return fmt.Errorf("report: properties: %w", err)
		}
	}
	mark, _ := props.find(schemaKey)
	if absent(mark) {
		for _, key := range keys {
			was, _ := props.find(key)
			if absent(was) {
				continue
			}
			kept := keptPrefix + key
			for other, _ := props.find(kept); other != nil; other, _ = props.find(kept) {
				kept = keptPrefix + kept
			}
			props = append(props, rawMember{kept, was})
		}
	}
	props = props.without(keys...)
	props.set(schemaKey, json.RawMessage("1"))
	var o object
	o.open('{')
	o.members(props)
	figures(&o)
	o.close('}')
	feature.set("properties", o.b)
	return o.err
}

// absent is so of null too: a GIS editor gives every feature every key.
func absent(raw json.RawMessage) bool { return raw == nil || string(raw) == "null" }

func annotatePoles(m *mesh.Mesh, again *plan.Plan, features []rawObject) error {
	keys := make([]string, 0, 40)
	for _, c := range poleColumns {
		keys = append(keys, c.key)
	}
	for v := range m.Stations {
		st, ok := again.Station(m.Stations[v].Station.Name)
		if !ok {
			continue // plan.GeoJSON writes every station
		}
		err := annotate(&features[st.Feature], keys, func(o *object) {
			for _, c := range poleColumns {
				if value := c.value(m, v); value != nil {
					o.value(c.key, value)
				}
			}
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// annotateLinks fills in the links of the plan.
func annotateLinks(m *mesh.Mesh, again *plan.Plan, features []rawObject) error {
	at := make(map[[2]string]int, len(again.Links))
	for i := range again.Links {
		at[[2]string{again.Links[i].From, again.Links[i].To}] = again.Links[i].Feature
	}
	keys, links := keysOf(linkProperties), newMeshLinks(m)
	for i := range m.Pairs {
		l := links.at(i)
		if f, ok := at[[2]string{l.from, l.to}]; ok && l.Wanted() {
			if err := annotate(&features[f], keys, func(o *object) { o.properties(&l) }); err != nil {
				return err
			}
		}
	}
	return nil
}

// properties writes the figures of a link that GeoJSON has.
func (o *object) properties(l *link) {
	present := l.present()
	for i := range linkProperties {
		if f := &linkProperties[i]; f.when&present != 0 {
			o.figure(f.key, f, l)
		}
	}
}

// otherPairs gives those that are no link of the plan as features, whose parts that come
// again and again are made once. Each holds until the next one is made.
func otherPairs(m *mesh.Mesh) iter.Seq[[]byte] {
	return func(yield func([]byte) bool) {
		names, at := make([]object, len(m.Stations)), make([]object, len(m.Stations))
		for v := range m.Stations {
			names[v].encode(m.Stations[v].Station.Name)
			at[v].encode(m.Stations[v].At)
		}
		links := newMeshLinks(m)
		var o object
		for i := range m.Pairs {
			l := links.at(i)
			if l.Wanted() {
				continue
			}
			o.b = append(o.b[:0], `{"type":"Feature","properties":{"from":`...)
			o.b = append(append(append(o.b, names[l.A].b...), `,"to":`...), names[l.B].b...)
			o.b = append(o.b, `,"required":false,"`+schemaKey+`":1`...)
			o.properties(&l)
			o.b = append(append(o.b, `},"geometry":{"type":"LineString","coordinates":[`...), at[l.A].b...)
			o.b = append(append(append(o.b, ','), at[l.B].b...), `]}}`...)
			if !yield(o.b) {
				return
			}
		}
	}
}

// withoutResults drops the pairs that an earlier run appended.
func withoutResults(p *plan.Plan, features []rawObject) []rawObject {
	drop := make([]bool, len(features))
	for _, r := range p.Results {
		var props rawObject
		if raw, ok := features[r.Feature].find("properties"); ok {
			_ = json.Unmarshal(raw, &props) // plan.Read took it
		}
		mark, _ := props.find(schemaKey)
		drop[r.Feature] = !absent(mark)
	}
	kept := features[:0]
	for i, f := range features {
		if !drop[i] {
			kept = append(kept, f)
		}
	}
	return kept
}

// rawCollection parts the text of a FeatureCollection: all its members, and the
// features among them.
func rawCollection(text []byte) (root rawObject, features []rawObject, err error) {
	if err := json.Unmarshal(text, &root); err != nil {
		return nil, nil, fmt.Errorf("report: %w", err)
	}
	if raw, ok := root.find("features"); ok {
		if err := json.Unmarshal(raw, &features); err != nil {
			return nil, nil, fmt.Errorf("report: %w", err)
		}
	}
	return root, features, nil
}
