package plan

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// take is read that also takes what table editors and drawing tools make of a value, where
// it can mean one thing only, and tells which liberty was taken: noLiberty for none.
func (k *Key) take(field any, raw []byte) (liberty, *FieldError) {
	fault := k.read(field, raw)
	if fault == nil {
		return noLiberty, nil
	}
	plain, taken := k.plain(field, raw)
	if plain == nil {
		fault.Problem += k.wayOut(field, raw)
		return noLiberty, fault
	}
	return taken, k.read(field, plain)
}

// plain is the value as [Keys] has it; nil where that cannot be told.
func (k *Key) plain(field any, raw []byte) ([]byte, liberty) {
	isText := raw[0] == '"'
	switch field.(type) {
	case **float64, **int:
		if isText {
			if v, ok := k.numberIn(unquote(raw)); ok {
				return strconv.AppendFloat(nil, v, 'g', -1, 64), numberAsText
			}
		}
	case *bool, *Road:
		if yes, known := truth(raw); known {
			return strconv.AppendBool(nil, yes), truthAsText
		}
	case *string:
		if name := nameText(raw); !isText && name != "" {
			return strconv.AppendQuote(nil, name), nameAsNumber
		}
	default:
		if !isText {
			break
		}
		for _, w := range k.Words {
			if letters(w) == letters(strings.TrimSpace(unquote(raw))) {
				return strconv.AppendQuote(nil, w), wordSpelt
			}
		}
	}
	return nil, noLiberty
}

// numberIn reads a number in digits with a point, behind it perhaps the unit of the key and
// no other: "6", "6.5 m", "22 dBm"; and "SF9" and "4/5", as data sheets write them.
func (k *Key) numberIn(s string) (float64, bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	s = strings.TrimPrefix(s, map[string]string{"sf": "sf", "cr": "4/"}[k.Name])
	if unit := k.Limits.Unit; unit != "" && !strings.Contains(unit, " ") {
		s = strings.TrimSuffix(s, strings.ToLower(unit))
		if unit == "deg" {
			s = strings.TrimSuffix(s, "°")
		}
	}
	return decimal(strings.TrimSpace(s))
}

// decimal reads digits, a sign, a point and an exponent, nothing else that Go would take.
func decimal(s string) (float64, bool) {
	if strings.Trim(s, "0123456789+-.e") != "" || strings.ContainsAny(s, "xp_ain") {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

// surveyKeys begin the keys that the power survey reads.
var surveyKeys = []string{"panel", "charger", "cell", "load_", "box_", "fan_"}

// surveyed is the number that a text under such a key is; nil for any other key or text.
func surveyed(key string, raw []byte) []byte {
	if raw[0] != '"' || !slices.ContainsFunc(surveyKeys,
		func(begin string) bool { return strings.HasPrefix(key, begin) }) {
		return nil
	}
	v, ok := decimal(strings.ToLower(strings.TrimSpace(unquote(raw))))
	if !ok {
		return nil
	}
	return strconv.AppendFloat(nil, v, 'g', -1, 64)
}

// truth reads true or false, in any case, and what tables have for them.
func truth(raw []byte) (yes, known bool) {
	word := string(raw)
	if raw[0] == '"' {
		word = strings.ToLower(strings.TrimSpace(unquote(raw)))
	}
	switch word {
	case "true", "yes", "1":
		return true, true
	case "false", "no", "0":
		return false, true
	}
	return false, false
}

// nameText is the name that a value is: a text, or a number in its shortest form; "" for
// none that may be one.
func nameText(raw []byte) string {
	if raw[0] == '"' {
		if s := unquote(raw); nameFault(s) == "" {
			return s
		}
	} else if v, ok := parse(raw); ok {
		if s := string(raw); math.Abs(v) < 1e15 {
			return strconv.FormatFloat(v, 'f', -1, 64)
		} else if nameFault(s) == "" {
			return s
		}
	}
	return ""
}

// isBlank tells null and text without a character, as tables have for an empty cell.
func isBlank(raw []byte) bool {
	return isNull(raw) || raw[0] == '"' && (len(raw) == 2 ||
		(raw[1] <= ' ' || raw[1] == '\\') && strings.TrimSpace(unquote(raw)) == "")
}

// wayOut says what to write where a text holds a number that is not taken.
func (k *Key) wayOut(field any, raw []byte) string {
	switch field.(type) {
	case **float64, **int:
	default:
		return ""
	}
	if raw[0] != '"' || !strings.ContainsAny(string(raw), "0123456789") {
		return ""
	}
	s := strings.ToLower(strings.TrimSpace(unquote(raw)))
	if point := strings.Replace(s, ",", ".", 1); point != s {
		if _, ok := k.numberIn(point); ok {
			return "; write a point for the comma, and none between thousands"
		}
	}
	unit := k.Limits.Unit
	if unit == "" || strings.Contains(unit, " ") {
		return "; write the number alone"
	}
	other := strings.TrimLeft(s, "0123456789+-., ")
	return fmt.Sprintf("; write the number in %s%s", unit, conversions[other+" "+strings.ToLower(unit)])
}

// unwrapped is the geometry of a Multi* of one part as the single one that it is; ok is
// false where it has another number of parts.
func unwrapped(kind string, coordinates json.RawMessage) (single string, inner json.RawMessage, parts int) {
	for _, e := range elements(coordinates) {
		if parts++; parts == 1 {
			inner = e
		}
	}
	return strings.TrimPrefix(kind, "Multi"), inner, parts
}
