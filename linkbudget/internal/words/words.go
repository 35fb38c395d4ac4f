// Package words spells the values of small enumerations.
package words

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// List spells the values of a small enumeration in results, by value. The first
// is empty: the zero value is none of the others. The types are of int8, not uint8:
// what has that kind is taken for text by string(v), of which go vet then says nothing,
// and a slice of it by package fmt.
type List []string

// Of is the word of a value; a number in brackets for one without a word.
func (w List) Of(v int8) string {
	if v >= 0 && int(v) < len(w) {
		return w[v]
	}
	return "(" + strconv.Itoa(int(v)) + ")"
}

// Text is the word of a value, an error for one without.
func (w List) Text(kind string, v int8) ([]byte, error) {
	if v >= 0 && int(v) < len(w) {
		return []byte(w[v]), nil
	}
	return nil, fmt.Errorf("linkbudget: %s: found %d, allowed 0 to %d", kind, v, len(w)-1)
}

// Read makes v the value of a word.
func Read[V ~int8](w List, kind string, text []byte, v *V) error {
	if i := slices.Index(w, string(text)); i >= 0 {
		*v = V(i)
		return nil
	}
	quoted := make([]string, len(w))
	for i, word := range w {
		quoted[i] = strconv.Quote(word)
	}
	return fmt.Errorf("linkbudget: %s: found %q, allowed %s", kind, text, strings.Join(quoted[1:], ", "))
}
