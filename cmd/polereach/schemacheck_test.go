package main

import (
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"
)

// schemaChecker knows as much of JSON Schema (draft 2020-12, Validation and Core) as the schema of
// a plan uses, and refuses words beyond that.
type schemaChecker struct{ root map[string]any }

// check tells why a value does not fit, "" where it does.
func (c schemaChecker) check(schema map[string]any, v any, at string) string {
	for word, arg := range schema {
		if why := c.word(schema, word, arg, v, at); why != "" {
			return why
		}
	}
	return ""
}

func (c schemaChecker) fits(schema any, v any) bool {
	return c.check(schema.(map[string]any), v, "") == ""
}

func (c schemaChecker) word(schema map[string]any, word string, arg, v any, at string) string {
	no := func(ok bool) string {
		if ok {
			return ""
		}
		return fmt.Sprintf("%s: %.80v does not fit %s %.80v", at, v, word, arg)
	}
	number, isNumber := v.(float64)
	text, isText := v.(string)
	list, isList := v.([]any)
	members, isObject := v.(map[string]any)
	switch word {
	case "$schema", "$defs", "title", "description", "then", "else":
		return ""
	case "$ref":
		return c.check(c.root["$defs"].(map[string]any)[strings.TrimPrefix(arg.(string), "#/$defs/")].(map[string]any), v, at)
	case "type":
		names, several := arg.([]any)
		if !several {
			names = []any{arg}
		}
		return no(slices.ContainsFunc(names, func(name any) bool {
			_, isTruth := v.(bool)
			return map[string]bool{"null": v == nil, "boolean": isTruth, "number": isNumber, "string": isText, "array": isList,
				"object": isObject, "integer": isNumber && number == math.Trunc(number)}[name.(string)]
		}))
	case "enum":
		return no(slices.ContainsFunc(arg.([]any), func(one any) bool { return reflect.DeepEqual(one, v) }))
	case "const":
		return no(reflect.DeepEqual(arg, v))
	case "minimum":
		return no(!isNumber || number >= arg.(float64))
	case "maximum":
		return no(!isNumber || number <= arg.(float64))
	case "exclusiveMinimum":
		return no(!isNumber || number > arg.(float64))
	case "minLength":
		return no(!isText || utf8.RuneCountInString(text) >= int(arg.(float64)))
	case "maxLength":
		return no(!isText || utf8.RuneCountInString(text) <= int(arg.(float64)))
	case "minItems":
		return no(!isList || len(list) >= int(arg.(float64)))
	case "maxItems":
		return no(!isList || len(list) <= int(arg.(float64)))
	case "items":
		for i, e := range list {
			if why := c.check(arg.(map[string]any), e, fmt.Sprintf("%s[%d]", at, i)); why != "" {
				return why
			}
		}
	case "prefixItems":
		for i, s := range arg.([]any) {
			if i < len(list) {
				if why := c.check(s.(map[string]any), list[i], fmt.Sprintf("%s[%d]", at, i)); why != "" {
					return why
				}
			}
		}
	case "required":
		for _, key := range arg.([]any) {
			if _, there := members[key.(string)]; isObject && !there {
				return no(false)
			}
		}
	case "properties", "patternProperties":
		for key, s := range arg.(map[string]any) {
			for name, value := range members {
				if name == key || word == "patternProperties" && regexp.MustCompile(key).MatchString(name) {
					if why := c.check(s.(map[string]any), value, at+"."+name); why != "" {
						return why
					}
				}
			}
		}
	case "allOf":
		for _, s := range arg.([]any) {
			if why := c.check(s.(map[string]any), v, at); why != "" {
				return why
			}
		}
	case "anyOf":
		return no(slices.ContainsFunc(arg.([]any), func(s any) bool { return c.fits(s, v) }))
	case "if":
		branch := "else"
		if c.fits(arg, v) {
			branch = "then"
		}
		if s, there := schema[branch]; there {
			return c.check(s.(map[string]any), v, at)
		}
	default:
		return at + ": the checker does not know " + word
	}
	return ""
}
