package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"

	"github.com/polereach/polereach/linkbudget/plan"
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
