package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"

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
// the plan are appended with "required": false, so that the file is a plan
// again. The error is that of plan.GeoJSON or of w.
func MeshGeoJSON(w io.Writer, m *plan.Mesh) error {
	text, err := m.Plan.GeoJSON()
	if err != nil {
		return err
	}
	again, err := plan.Read(m.Plan.Source, text)
	if err != nil {
		return err
	}
	var root rawObject
	var features []rawObject
	if err := json.Unmarshal(text, &root); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	if raw, ok := root.find("features"); ok {
		if err := json.Unmarshal(raw, &features); err != nil {
			return fmt.Errorf("report: %w", err)
		}
	}
	annotatePoles(m, again, features)
	extra := annotateLinks(m, again, features)

	var head rawObject
	for _, member := range root {
		if member.key != "features" && member.key != summaryKey {
			head = append(head, member)
		}
	}
	head = append(head, rawMember{summaryKey, rawJSON(newMeshSummary(m))})
	return writeCollection(w, head, features, extra)
}

// writeCollection writes one feature a line, the features last.
func writeCollection(w io.Writer, head rawObject, lists ...[]rawObject) error {
	var b bytes.Buffer
	head.write(&b)
	b.Truncate(b.Len() - 1)
	b.WriteString(",\n\"features\":[")
	first := true
	for _, f := range slices.Concat(lists...) {
		if !first {
			b.WriteByte(',')
		}
		first = false
		b.WriteByte('\n')
		f.write(&b)
		if b.Len() > 1<<16 {
			if _, err := w.Write(b.Bytes()); err != nil {
				return err
			}
			b.Reset()
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

func annotatePoles(m *plan.Mesh, again *plan.Plan, features []rawObject) {
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

// annotateLinks returns the pairs that are no link of the plan as new features.
func annotateLinks(m *plan.Mesh, again *plan.Plan, features []rawObject) []rawObject {
	at := make(map[[2]string]int, len(again.Links))
	for i := range again.Links {
		at[[2]string{again.Links[i].From, again.Links[i].To}] = again.Links[i].Feature
	}
	columns := linkColumns[2:] // from and to are the plan's
	keys := make([]string, 0, len(columns))
	for _, c := range columns {
		if c.key != "required" { // the plan's as well
			keys = append(keys, c.key)
		}
	}
	links := meshLinks(m)
	var extra []rawObject
	for i := range links {
		l := &links[i]
		var figures rawObject
		for _, c := range columns {
			if value := c.value(l); value != nil && c.key != "required" {
				figures = append(figures, rawMember{c.key, rawJSON(value)})
			}
		}
		if l.Wanted() {
			if f, ok := at[[2]string{l.from, l.to}]; ok {
				annotate(&features[f], keys, figures)
			}
			continue
		}
		feature := newLine(m, l)
		annotate(&feature, keys, figures)
		extra = append(extra, feature)
	}
	return extra
}

func newLine(m *plan.Mesh, l *meshLink) rawObject {
	props := rawObject{{"from", rawJSON(l.from)}, {"to", rawJSON(l.to)}, {"required", rawJSON(false)}}
	var b bytes.Buffer
	props.write(&b)
	a, z := m.Stations[l.A].At, m.Stations[l.B].At
	line := struct {
		Type        string        `json:"type"`
		Coordinates [2][2]float64 `json:"coordinates"`
	}{"LineString", [2][2]float64{a, z}}
	return rawObject{{"type", rawJSON("Feature")}, {"properties", b.Bytes()}, {"geometry", rawJSON(line)}}
}
