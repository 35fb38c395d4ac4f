package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain/fault"
)

// rawMember is one member of a JSON object, its value as it was written.
type rawMember struct {
	key   string
	value json.RawMessage
}

// rawObject is a JSON object that was read, in its own order: what is not touched comes
// out as it stood.
type rawObject []rawMember

// UnmarshalJSON keeps the order of the members.
func (r *rawObject) UnmarshalJSON(data []byte) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	if token, err := dec.Token(); err != nil || token != json.Delim('{') {
		*r = nil // null, or a caller's bug that encoding/json reports elsewhere
		return err
	}
	for dec.More() {
		token, err := dec.Token()
		if err != nil {
			return err
		}
		var value json.RawMessage
		if err := dec.Decode(&value); err != nil {
			return err
		}
		*r = append(*r, rawMember{token.(string), value})
	}
	return nil
}

func (r rawObject) find(key string) (json.RawMessage, bool) {
	for _, m := range r {
		if m.key == key {
			return m.value, true
		}
	}
	return nil, false
}

// set replaces the value of a key or appends it.
func (r *rawObject) set(key string, value json.RawMessage) {
	for i := range *r {
		if (*r)[i].key == key {
			(*r)[i].value = value
			return
		}
	}
	*r = append(*r, rawMember{key, value})
}

// without is the object without some keys.
func (r rawObject) without(keys ...string) rawObject {
	return slices.DeleteFunc(r, func(m rawMember) bool { return slices.Contains(keys, m.key) })
}

// planFeatures reads the plan again as plan.GeoJSON writes it: numbered as its features are
// there, with these and the other members of the text. The error is that of plan.GeoJSON or
// plan.Read.
func planFeatures(p *plan.Plan) (again *plan.Plan, root rawObject, features []rawObject, err error) {
	text, err := p.GeoJSON()
	if err != nil {
		return nil, nil, nil, err
	}
	if again, err = plan.Read(p.Source, text); err != nil {
		return nil, nil, nil, err
	}
	if err = json.Unmarshal(text, &root); err == nil {
		if raw, ok := root.find("features"); ok {
			err = json.Unmarshal(raw, &features)
		}
	}
	if err != nil {
		err = fmt.Errorf("report: %w", err)
	}
	return again, root, features, err
}

// properties are those of a feature.
func (r rawObject) properties() (props rawObject, err error) {
	if raw, ok := r.find("properties"); ok {
		err = json.Unmarshal(raw, &props)
	}
	return props, err
}

// ours reports whether the properties carry figures of an earlier run.
func (r rawObject) ours() bool {
	mark, _ := r.find(schemaKey)
	return !absent(mark)
}

// GeoJSONLayers are the layers of [GeoJSONLayer].
var GeoJSONLayers = []string{"poles", "links"}

// GeoJSONLayer writes one layer of a text that [MeshGeoJSON] or [SpotsGeoJSON] wrote, for
// programs that want one kind of geometry in a file: "poles" are the points, "links" the
// lines between two poles. What else stands in a plan, ground to search and roads, is in
// neither. The error is of another layer, of a text that is no GeoJSON, or of w.
func GeoJSONLayer(w io.Writer, text []byte, layer string) error {
	if !slices.Contains(GeoJSONLayers, layer) {
		return fault.Found("layer", strconv.Quote(layer), strings.Join(GeoJSONLayers, ", "))
	}
	var root rawObject
	var features, kept []rawObject
	err := json.Unmarshal(text, &root)
	if raw, ok := root.find("features"); ok && err == nil {
		err = json.Unmarshal(raw, &features)
	}
	if err != nil {
		return fault.Input("report: layer of GeoJSON: %w", err)
	}
	for _, f := range features {
		raw, _ := f.find("geometry")
		var geometry struct{ Type string }
		if err := json.Unmarshal(raw, &geometry); err != nil {
			continue // no geometry
		}
		props, err := f.properties()
		if err != nil {
			return fault.Input("report: layer of GeoJSON: properties: %w", err)
		}
		_, joins := props.find("from")
		if layer == "poles" && geometry.Type == "Point" || layer == "links" && geometry.Type == "LineString" && joins {
			kept = append(kept, f)
		}
	}
	return writeCollection(w, root.without("features", "bbox"), kept, 0, nil)
}
