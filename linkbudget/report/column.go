package report

import (
	"fmt"
	"strconv"
)

// column is a figure of a thing of which there are few: a column of CSV, a property of
// GeoJSON and a member of JSON. Its value is nil where it is not known.
type column[T any] struct {
	key   string
	value func(of T) any
}

// part is a figure of what a thing may lack.
func part[T, P any](key string, get func(of T) *P, value func(of T, part *P) any) column[T] {
	return column[T]{key, func(of T) any {
		if p := get(of); p != nil {
			return value(of, p)
		}
		return nil
	}}
}

func columnKeys[T any](columns []column[T]) []string {
	keys := make([]string, len(columns))
	for i := range columns {
		keys[i] = columns[i].key
	}
	return keys
}

// columnMembers writes those that are known.
func columnMembers[T any](o *object, columns []column[T], of T) {
	for _, c := range columns {
		if v := c.value(of); v != nil {
			o.value(c.key, v)
		}
	}
}

// csvField is a figure as text, empty where it is not known.
func csvField(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return fmt.Sprint(v)
}

// positive is nil for 0.
func positive(v float64, decimals int) any {
	if v > 0 {
		return fixed(v, decimals)
	}
	return nil
}
