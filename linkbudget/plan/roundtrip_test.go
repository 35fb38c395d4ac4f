package plan

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// roundTrip tells how what was written and read again differs from what was read.
func roundTrip(p *Plan, file []byte) string {
	out, err := p.GeoJSON()
	if err != nil {
		return fmt.Sprintf("a plan that reads does not write: %v", err)
	}
	var was, is any
	if json.Unmarshal(file, &was) == nil && json.Unmarshal(out, &is) == nil && !keeps(was, is) {
		return fmt.Sprintf("written text differs in content: %s", out)
	}
	q, err := Read(p.Source, out)
	if err != nil {
		return fmt.Sprintf("what was written does not read: %v", err)
	}
	first, again := p, q
	if !reflect.DeepEqual(was, is) { // names and ends were added: the text differs, and what is told of it
		first, again = stripped(p), stripped(q)
	}
	if !reflect.DeepEqual(first, again) {
		return fmt.Sprintf("read again %+v, was %+v", again, first)
	}
	second, err := q.GeoJSON()
	if err != nil || string(second) != string(out) {
		return fmt.Sprintf("second writing: %v %s, first: %s", err, second, out)
	}
	return ""
}

// stripped is a plan without its text and its warnings.
func stripped(p *Plan) *Plan {
	b := *p
	b.root, b.Warnings, b.Roads, b.Results = nil, nil, nil, nil
	b.Stations, b.Links, b.Areas = slices.Clone(b.Stations), slices.Clone(b.Links), slices.Clone(b.Areas)
	b.Cover = slices.Clone(b.Cover)
	for i := range b.Cover {
		b.Cover[i].raw = nil
	}
	for i := range b.Stations {
		b.Stations[i].raw = nil
	}
	for i := range b.Links {
		b.Links[i].raw = nil
	}
	for i := range b.Areas {
		b.Areas[i].raw = nil
	}
	return &b
}

// keeps tells whether all of one JSON value is in another, which has nothing beside it but
// names, ends of links, and the properties that hold them.
func keeps(was, is any) bool {
	inferred := func(key string) bool { return key == "name" || key == "from" || key == "to" || key == "properties" }
	switch was := was.(type) {
	case map[string]any:
		is, ok := is.(map[string]any)
		for key, v := range was {
			empty := v == nil || strings.TrimSpace(fmt.Sprint(v)) == "" // a name may take its place
			ok = ok && (inferred(key) && empty || keeps(v, is[key]))
		}
		for key := range is {
			_, there := was[key]
			ok = ok && (there || inferred(key))
		}
		return ok
	case []any:
		is, ok := is.([]any)
		ok = ok && len(is) == len(was)
		for i := 0; ok && i < len(was); i++ {
			ok = keeps(was[i], is[i])
		}
		return ok
	}
	return reflect.DeepEqual(was, is)
}
