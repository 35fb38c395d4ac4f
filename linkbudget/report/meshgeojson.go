package report

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain/fault"
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
func MeshGeoJSON(w io.Writer, m *mesh.Mesh) (err error) {
	defer fault.Recovered(&err)
	again, root, features, err := planFeatures(m.Plan)
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
	n, others := otherPairs(m)
	return writeCollection(w, head, features, n, others)
}

// writeCollection writes one feature a line, the features last: those that were read, and
// n more that are made one at a time, so that a large mesh is not held twice.
func writeCollection(w io.Writer, head rawObject, features []rawObject, n int, write func(o *object, i int)) error {
	var o object
	o.open('{')
	o.members(head)
	o.b = append(o.b, ",\n\"features\":["...)
	for i := range len(features) + n {
		if len(o.b) >= 1<<16 && o.err == nil {
			_, o.err = w.Write(o.b)
			o.b = o.b[:0]
		}
		if i > 0 {
			o.b = append(o.b, ',')
		}
		o.b = append(o.b, '\n')
		if i >= len(features) {
			write(&o, i-len(features))
			continue
		}
		o.braced(func(o *object) { o.members(features[i]) })
	}
	if o.err != nil {
		return o.err
	}
	_, err := w.Write(append(o.b, "\n]}\n"...))
	return err
}

// annotate puts figures into the properties of a feature; keys are all that a
// feature of its kind may carry.
func annotate(feature *rawObject, keys []string, figures func(o *object)) error {
	props, err := feature.properties()
	if err != nil {
		return fmt.Errorf("report: properties: %w", err)
	}
	if !props.ours() {
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
	o.braced(func(o *object) {
		o.members(props)
		figures(o)
	})
	feature.set("properties", o.b)
	return o.err
}

// absent is so of null too: a GIS editor gives every feature every key.
func absent(raw json.RawMessage) bool { return raw == nil || string(raw) == "null" }

func annotatePoles(m *mesh.Mesh, again *plan.Plan, features []rawObject) error {
	keys := columnKeys(poleColumns)
	for v := range m.Stations {
		st, ok := again.Station(m.Stations[v].Station.Name)
		if !ok {
			continue // plan.GeoJSON writes every station
		}
		err := annotate(&features[st.Feature], keys, func(o *object) {
			columnMembers(o, poleColumns, pole{&m.Stations[v], m})
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

// otherPairs counts those that are no link of the plan, and writes each as a feature, whose
// parts that come again and again are made once.
func otherPairs(m *mesh.Mesh) (n int, write func(o *object, i int)) {
	names, at := make([]object, len(m.Stations)), make([]object, len(m.Stations))
	for v := range m.Stations {
		names[v].encode(m.Stations[v].Station.Name)
		at[v].encode(m.Stations[v].At)
	}
	var others []int32
	for i := range m.Pairs {
		if !m.Pairs[i].Wanted() {
			others = append(others, int32(i))
		}
	}
	links := newMeshLinks(m)
	var l link
	return len(others), func(o *object, i int) {
		l = links.at(int(others[i]))
		o.b = append(o.b, `{"type":"Feature","properties":{"from":`...)
		o.b = append(append(append(o.b, names[l.A].b...), `,"to":`...), names[l.B].b...)
		o.b = append(o.b, `,"required":false,"`+schemaKey+`":1`...)
		o.properties(&l)
		o.b = append(append(o.b, `},"geometry":{"type":"LineString","coordinates":[`...), at[l.A].b...)
		o.b = append(append(append(o.b, ','), at[l.B].b...), `]}}`...)
	}
}

// withoutResults drops the pairs that an earlier run appended.
func withoutResults(p *plan.Plan, features []rawObject) []rawObject {
	drop := map[int]bool{}
	for _, r := range p.Results {
		props, _ := features[r.Feature].properties() // plan.Read took it
		drop[r.Feature] = props.ours()
	}
	at := -1
	return slices.DeleteFunc(features, func(rawObject) bool { at++; return drop[at] })
}
