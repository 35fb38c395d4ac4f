package plan

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain/fault"
)

// Key is a key of the plan file.
type Key struct {
	Feature string       // whose it is: Point, LineString or Polygon
	Name    string       // such as height_m
	Doc     string       // what it says, in half a line
	Limits  fault.Limits // of a number, in the unit of the key
	Words   []string     // that are allowed; nil for others
	// Default is what holds where it is not given; empty where the settings say it, [Settings].
	Default string
	// Model points to the number in a station of the budget; nil for all that is no
	// number or takes more than that.
	Model func(*linkbudget.Station) *float64

	allowed string
}

// Allowed tells what the key may say, such as "above 0 to 300 m"; empty where that is
// not looked at here.
func (k Key) Allowed() string { return k.allowed }

func (k *Key) allows(field any) string {
	quoted := make([]string, len(k.Words))
	for i, w := range k.Words {
		quoted[i] = strconv.Quote(w)
	}
	switch field.(type) {
	case **float64:
		if k.choice() {
			return "one of the numbers " + strings.Trim(fmt.Sprint(bandwidthsKHz), "[]") + " " + k.Limits.Unit
		}
		return k.Limits.String()
	case **int:
		return "a whole number " + k.Limits.String()
	case *bool:
		return "true or false"
	case *string:
		return fmt.Sprintf("text of 1 to %d characters on one line", nameLimit)
	case *Road:
		return k.Words[0]
	}
	return strings.Join(quoted, ", ")
}

// choice tells the number out of a list, bw_khz.
func (k *Key) choice() bool { return k.Limits.Max == 0 && k.Limits.Unit != "" }

func (k *Key) holds(v float64) bool {
	if k.choice() {
		return slices.Contains(bandwidthsKHz, v)
	}
	return k.Limits.Hold(v)
}

// refuse is the fault of a value, its place yet to be told.
func (k *Key) refuse(found string, got any, allowed string) *FieldError {
	return &FieldError{Key: k.Name, Problem: "found " + found + ", allowed " + allowed,
		Value: &fault.FieldError{Field: k.Name, Got: got, Min: k.Limits.Min, Max: k.Limits.Max, Unit: k.Limits.Unit,
			Allowed: allowed}}
}

// read takes a value of the file into its field; nil where it is fine.
func (k *Key) read(field any, raw []byte) *FieldError {
	allowed := k.allowed
	switch p := field.(type) {
	case **float64: // what is beyond float64 comes out infinite, which no range holds
		v, isNumber := parse(raw)
		if isNumber && k.holds(v) {
			*p = &v
			return nil
		} else if !isNumber && !k.choice() {
			allowed = "a number " + allowed
		}
	case **int: // 9.0 is as good as 9, since table editors write it
		if v, isNumber := parse(raw); isNumber && v == math.Trunc(v) && k.holds(v) {
			i := int(v)
			*p = &i
			return nil
		}
	case **string:
		if i := wordIndex(raw, k.Words); i >= 0 {
			found := k.Words[i] // a copy: the caller may change his
			*p = &found
			return nil
		}
	case *Status:
		if i := wordIndex(raw, k.Words); i >= 0 {
			*p = Status(i)
			return nil
		}
	case *string:
		if raw[0] == '"' {
			s := unquote(raw)
			found := nameFault(s)
			if found == "" {
				*p = s
				return nil
			}
			return k.refuse(found, shorten(s), allowed)
		}
	case *bool:
		if raw[0] == 't' || raw[0] == 'f' {
			*p = raw[0] == 't'
			return nil
		}
	case *Road:
		if string(raw) == "true" {
			return nil
		}
	default:
		if k.Words == nil || wordIndex(raw, k.Words) >= 0 {
			return nil
		}
	}
	var got any = describe(raw)
	if v, isNumber := parse(raw); isNumber {
		got = v
	} else if raw[0] == '"' {
		got = shorten(unquote(raw))
	}
	return k.refuse(describe(raw), got, allowed)
}

// given is the value of a field, nil where it is not given or so by default.
func given(field any) any {
	switch p := field.(type) {
	case **float64:
		if *p != nil {
			return **p
		}
	case **int:
		if *p != nil {
			return **p
		}
	case **string:
		if *p != nil {
			return **p
		}
	case *string:
		if *p != "" {
			return *p
		}
	case *Status:
		if *p != Standing {
			return p.String()
		}
	case *bool:
		if !*p {
			return false
		}
	case *Road: // true, or absent beside highway
		if p.raw == nil || find(members(find(members(p.raw), "properties")), "road") != nil {
			return true
		}
	}
	return nil
}

// check is read for a value that is in its field; one that is not given is fine.
func (k *Key) check(field any) *FieldError {
	found, v := "", given(field)
	switch v := v.(type) {
	case float64:
		if !k.holds(v) {
			found = fmt.Sprint(v)
		}
	case int:
		if !k.holds(float64(v)) {
			found = fmt.Sprint(v)
		}
	case string:
		if k.Words == nil {
			found = nameFault(v)
		} else if !slices.Contains(k.Words, v) {
			found = "text " + quote(v)
		}
	}
	if found == "" {
		return nil
	}
	return k.refuse(found, v, k.allowed)
}

// write gives the text of a value, nil where the key may be left out.
func (k *Key) write(field any) ([]byte, error) {
	v := given(field)
	if v == nil {
		return nil, nil
	}
	return encode(v)
}

// encode is json.Marshal that leaves <, > and & readable and refuses text that
// would not come back.
func encode(v any) ([]byte, error) {
	if s, isText := v.(string); isText && !utf8.ValidString(s) {
		return nil, errors.New("found text that is not UTF-8, allowed UTF-8")
	}
	if f, isFloat := v.(float64); isFloat && (math.IsNaN(f) || math.IsInf(f, 0)) {
		return nil, fmt.Errorf("found %v, allowed a number", f)
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return Escaped(bytes.TrimSuffix(b.Bytes(), []byte("\n"))), nil
}

// parse reads a number.
func parse(raw []byte) (v float64, isNumber bool) {
	if raw[0] != '-' && (raw[0] < '0' || raw[0] > '9') {
		return math.NaN(), false
	}
	v, _ = strconv.ParseFloat(string(raw), 64)
	return v, true
}

func wordIndex(raw []byte, allowed []string) int {
	if raw[0] != '"' {
		return -1
	}
	return slices.Index(allowed, unquote(raw))
}

// nameLimit bounds a name in characters: it must fit a line of a report, and
// the search for the nearest name costs its square.
const nameLimit = 100

// nameFault tells what is wrong with a name: it is one line, not blank.
func nameFault(s string) (found string) {
	switch n := utf8.RuneCountInString(s); {
	case !utf8.ValidString(s):
		return "text that is not UTF-8"
	case strings.TrimSpace(s) == "":
		return "blank text"
	case n > nameLimit:
		return fmt.Sprintf("%d characters", n)
	}
	if i := strings.IndexFunc(s, unicode.IsControl); i >= 0 {
		c, _ := utf8.DecodeRuneInString(s[i:])
		return fmt.Sprintf("the control character U+%04X in %s", c, quote(s))
	}
	return ""
}
