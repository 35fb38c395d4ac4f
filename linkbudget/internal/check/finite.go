package check

import (
	"fmt"
	"math"
	"reflect"
)

// NotFinite is the first number in v that is not finite, by its name under at, "" for none; types
// left alone are not looked into.
func NotFinite(v reflect.Value, at string, leftAlone map[reflect.Type]bool) string {
	return notFinite(v, at, leftAlone, 0)
}

func notFinite(v reflect.Value, at string, leftAlone map[reflect.Type]bool, depth int) string {
	if depth > 6 {
		return ""
	}
	switch v.Kind() {
	case reflect.Float32, reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return fmt.Sprintf("%s = %v", at, f)
		}
	case reflect.Complex128:
		if c := v.Complex(); c-c != 0 {
			return fmt.Sprintf("%s = %v", at, c)
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			return notFinite(v.Elem(), at, leftAlone, depth+1)
		}
	case reflect.Slice, reflect.Array:
		for i := range min(v.Len(), 400) {
			if s := notFinite(v.Index(i), "", leftAlone, depth+1); s != "" {
				return fmt.Sprintf("%s[%d]%s", at, i, s)
			}
		}
	case reflect.Struct:
		if leftAlone[v.Type()] {
			return ""
		}
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				if s := notFinite(v.Field(i), "", leftAlone, depth+1); s != "" {
					return at + "." + f.Name + s
				}
			}
		}
	}
	return ""
}
