package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"iter"
	"slices"

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
	annotatePoles(m, again, features)
	extra := annotateLinks(m, again, features)
	features = withoutResults(again, features)

	var head rawObject
	for _, member := range root {
		if member.key != "features" && member.key != summaryKey {
			head = append(head, member)
		}
	}
	head = append(head, rawMember{summaryKey, rawJSON(newMeshSummary(m))})
	return writeCollection(w, head, features, extra)
}

// writeCollection writes one feature a line, the features last. Those of extra
// are made one at a time, so that a large mesh is not held twice.
func writeCollection(w io.Writer, head rawObject, features []rawObject, extra iter.Seq[[]byte]) error {
	var b bytes.Buffer
	head.write(&b)
	b.Truncate(b.Len() - 1)
	b.WriteString(",\n\"features\":[")
	separator := "\n"
	one := func(write func()) error {
		b.WriteString(separator)
		separator = ",\n"
		write()
		if b.Len() < 1<<16 {
			return nil
		}
		_, err := w.Write(b.Bytes())
		b.Reset()
		return err
	}
	for _, f := range features {
		if err := one(func() { f.write(&b) }); err != nil {
			return err
		}
	}
	for f := range extra {
		if err := one(func() { b.Write(f) }); err != nil {
			return err
		}
	}
	b.WriteString("\n]}\n")
	_, err := w.Write(b.Bytes())
	return err
}

// annotate puts figures into the properties of a feature; keys are all that a
// feature of its kind may carry.
func annotate(feature *rawObject, keys []string, figures rawObject) {
	var props rawObject
	if raw, ok := feature.find("properties"); ok {
		if err := json.Unmarshal(raw, &props); err != nil {
			panic("report: properties that plan.Read took: " + err.Error())
		}
	}
	mark, _ := props.find(schemaKey)
	ours := !absent(mark)
	for _, key := range keys {
		was, _ := props.find(key)
		if !absent(was) && !ours {
			kept := keptPrefix + key
			for other, _ := props.find(kept); other != nil; other, _ = props.find(kept) {
				kept = keptPrefix + kept
			}
			props = append(props, rawMember{kept, was})
		}
		props.drop(key)
	}
	props.set(schemaKey, json.RawMessage("1"))
	for _, f := range figures {
		props.set(f.key, f.value)
	}
	var b bytes.Buffer
	props.write(&b)
	feature.set("properties", b.Bytes())
}

// absent is so of null too: a GIS editor gives every feature every key.
func absent(raw json.RawMessage) bool { return raw == nil || string(raw) == "null" }

func annotatePoles(m *mesh.Mesh, again *plan.Plan, features []rawObject) {
	keys := make([]string, 0, 40)
	for _, c := range poleColumns {
		keys = append(keys, c.key)
	}
	for v := range m.Stations {
		st, ok := again.Station(m.Stations[v].Station.Name)
		if !ok {
			continue // plan.GeoJSON writes every station
		}
		var figures rawObject
		for _, c := range poleColumns {
			if value := c.value(m, v); value != nil {
				figures = append(figures, rawMember{c.key, rawJSON(value)})
			}
		}
		annotate(&features[st.Feature], keys, figures)
	}
}

// annotateLinks fills in the links of the plan and returns the other pairs as
// new features.
func annotateLinks(m *mesh.Mesh, again *plan.Plan, features []rawObject) iter.Seq[[]byte] {
	at := make(map[[2]string]int, len(again.Links))
	for i := range again.Links {
		at[[2]string{again.Links[i].From, again.Links[i].To}] = again.Links[i].Feature
	}
	keys := slices.DeleteFunc(columnKeys(), func(key string) bool { return key == ofPlan })
	links := newMeshLinks(m)
	for i := range m.Pairs {
		if l := links.at(i); l.Wanted() {
			if f, ok := at[[2]string{l.from, l.to}]; ok {
				var figures memberList
				eachColumn(&l, new(budgetFigures), &figures)
				annotate(&features[f], keys, figures.list)
			}
		}
	}
	return func(yield func([]byte) bool) {
		w := newLineWriter(m)
		for i := range m.Pairs {
			if l := links.at(i); !l.Wanted() && !yield(w.line(&l)) {
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
