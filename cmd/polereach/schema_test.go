package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain/fault"
)

// schemaPath is the JSON Schema (draft 2020-12) of a plan in its plain form, made here of the
// tables of keys: -update writes it anew.
const schemaPath = "../../examples/plan.schema.json"

type object map[string]any

// keySchema is that of one property; all may be null.
func keySchema(doc, allowed, otherwise string, limits fault.Limits, words []string) object {
	for _, part := range []struct{ before, text string }{{"", allowed}, {"default ", otherwise}} {
		if part.text != "" {
			doc = strings.TrimPrefix(doc+"; "+part.before+part.text, "; ")
		}
	}
	s := object{"description": doc}
	numbers, choice := strings.CutPrefix(allowed, "one of the numbers ")
	switch {
	case choice:
		list := []any{nil}
		for f := range strings.FieldsSeq(strings.TrimSuffix(numbers, " "+limits.Unit)) {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil {
				panic(err)
			}
			list = append(list, v)
		}
		s["enum"] = list
	case words != nil:
		list := []any{nil}
		for _, w := range words {
			list = append(list, w)
		}
		s["enum"] = list
	case strings.HasPrefix(allowed, "text of 1 to "):
		s["type"], s["minLength"], s["maxLength"] = []any{"string", "null"}, 1, 100
	case allowed == "" && !strings.HasPrefix(doc, "true:") && !strings.HasPrefix(doc, "false:"):
		s["type"] = []any{"string", "null"}
	case allowed == "" || allowed == "true or false":
		s["type"] = []any{"boolean", "null"}
	default:
		s["type"], s["minimum"], s["maximum"] = []any{"number", "null"}, limits.Min, limits.Max
		if limits.Above {
			delete(s, "minimum")
			s["exclusiveMinimum"] = limits.Min
		}
		if strings.HasPrefix(allowed, "a whole number") {
			s["type"] = []any{"integer", "null"}
		}
	}
	return s
}

// planSchema is the whole of it.
func planSchema() object {
	of := map[string]object{"Point": {}, "LineString": {}, "Polygon": {}}
	for _, k := range plan.Keys() {
		of[k.Feature][k.Name] = keySchema(k.Doc, k.Allowed(), k.Default, k.Limits, k.Words)
	}
	sun, more := object{}, object{}
	for _, k := range power.Keys() {
		s := keySchema(k.Doc, k.Allowed(), k.Default, k.Limits, k.Words)
		sun[k.Name] = s
		if rest, ok := strings.CutPrefix(k.Name, "panel_"); ok {
			more["^panel[2-4]_"+rest+"$"] = s
		}
	}
	ref := func(name string) object { return object{"$ref": "#/$defs/" + name} }
	list := func(least int, items object) object {
		return object{"type": "array", "minItems": least, "items": items}
	}
	degrees := func(most float64) object { return object{"type": "number", "minimum": -most, "maximum": most} }
	coordinates := map[string]object{"Point": ref("position"), "LineString": list(2, ref("position")),
		"Polygon": list(1, list(4, ref("position")))}
	has := func(key string, value any) object {
		return object{"required": []any{key}, "properties": object{key: object{"const": value}}}
	}
	defs := object{
		"position": object{"type": "array", "minItems": 2, "maxItems": 4, "prefixItems": []any{degrees(180), degrees(90)},
			"description": "longitude, latitude in degrees, WGS 84; an altitude is not used"},
		"sun": object{"properties": sun, "patternProperties": more},
	}
	var kinds []any
	for _, kind := range []string{"Point", "LineString", "Polygon"} {
		properties := object{"properties": of[kind]}
		if kind != "LineString" {
			properties["allOf"] = []any{ref("sun")}
		} else { // of a road and of a drawing the keys are not looked at
			other := []any{has("wanted", false), has("road", true), object{"required": []any{"highway"}}}
			properties = object{"if": object{"anyOf": other}, "then": object{}, "else": properties}
		}
		defs[kind] = properties
		kinds = append(kinds, object{"if": object{"properties": object{"geometry": has("type", kind)}},
			"then": object{"properties": object{"properties": ref(kind),
				"geometry": object{"required": []any{"coordinates"}, "properties": object{"coordinates": coordinates[kind]}}}}})
	}
	stands := object{"anyOf": []any{object{"required": []any{"stands"}}, object{"required": []any{"top_m"}}}}
	kinds = append(kinds, object{"if": object{"properties": object{"geometry": has("type", "MultiPolygon")}},
		"then": object{"properties": object{"properties": object{"allOf": []any{ref("Polygon"), stands}},
			"geometry": object{"required": []any{"coordinates"},
				"properties": object{"coordinates": list(1, coordinates["Polygon"])}}}}})
	defs["feature"] = object{"type": "object", "required": []any{"type", "geometry"}, "allOf": kinds,
		"properties": object{"type": object{"const": "Feature"}, "properties": object{"type": []any{"object", "null"}},
			"geometry": object{"type": "object", "required": []any{"type"},
				"properties": object{"type": object{"enum": []any{"Point", "LineString", "Polygon", "MultiPolygon"}}}}}}
	return object{"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "polereach plan",
		"description": "A plan in its plain form; what else is read, and how, go doc ./linkbudget/plan tells.",
		"type":        "object", "required": []any{"type", "features"}, "$defs": defs,
		"properties": object{"type": object{"const": "FeatureCollection"}, "features": list(1, ref("feature"))}}
}

func TestSchemaIsThatOfTheTables(t *testing.T) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(planSchema()); err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(schemaPath, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if is, err := os.ReadFile(schemaPath); err != nil || !bytes.Equal(is, b.Bytes()) {
		t.Errorf("%s is not what the tables say (%v); -update writes it anew", schemaPath, err)
	}
}

func readJSON(t *testing.T, data []byte) (v any) {
	t.Helper()
	if err := json.Unmarshal(data, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// The plans of the examples and one of begin fit the schema; a value that reading refuses does not.
func TestPlansFitTheSchema(t *testing.T) {
	file, err := os.ReadFile(schemaPath)
	if err != nil {
		t.Fatal(err)
	}
	s := schemaChecker{root: readJSON(t, file).(map[string]any)}
	begun := filepath.Join(t.TempDir(), "hills")
	if r := polereach(t, "begin", "--at", "-84.2,36.6", "--band", "eu868", begun); r.code != exitHolds {
		t.Fatal(r.err)
	}
	begun = filepath.Join(begun, planFileName)
	for _, path := range []string{demoPlan, demo + "sun.geojson", demo + "spots.geojson", begun} {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if why := s.check(s.root, readJSON(t, data), path); why != "" {
			t.Error(why)
		}
	}
	tried := 0
	for _, k := range keyRows() {
		kind := k.Of
		if kind == "power" {
			kind = "Point"
		}
		for _, value := range []string{`{}`, `-1e9`, `1e9`, `"none of them"`, `[]`} {
			at := map[string]string{"Point": "[10,50]", "LineString": "[[10,50],[10.1,50]]",
				"Polygon": "[[[10,50],[10.1,50],[10,50.1],[10,50]]]"}[kind]
			properties := fmt.Sprintf(`{"name":"C","from":"A","to":"B",%q:%s}`, k.Key, value)
			if kind != "LineString" {
				properties = fmt.Sprintf(`{"name":"C",%q:%s}`, k.Key, value)
			}
			if strings.Contains(properties, `"`+k.Key+`":`+value) && strings.Count(properties, `"`+k.Key+`":`) > 1 {
				continue // name, from and to are there
			}
			data := []byte(collection(feature(`{"name":"A"}`, point("[10,50]")), feature(`{"name":"B"}`, point("[10.1,50]")),
				feature(properties, fmt.Sprintf(`{"type":%q,"coordinates":%s}`, kind, at))))
			p, err := plan.Read("", data)
			if err == nil && k.Of == "power" {
				_, _, err = power.Settings(p.Stations[2].Property, power.SettingDefaults{})
				if err != nil && !strings.Contains(err.Error(), k.Key+": found") {
					err = nil // it lacks others
				}
			}
			fits := s.check(s.root, readJSON(t, data), k.Key)
			if fits == "" && err != nil {
				t.Errorf("%s %s: fits the schema, but is refused: %v", k.Key, value, err)
			}
			if err != nil {
				tried++
			}
		}
	}
	if tried < 300 {
		t.Errorf("%d refused values tried", tried)
	}
}
