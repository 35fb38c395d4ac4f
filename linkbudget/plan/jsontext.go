package plan

import (
	"bytes"
	"encoding/json"
	"iter"
)

// The file is checked once by encoding/json (syntax, and nesting of at most
// 10 000) and stripped of white space. Everything below then walks text known
// to be valid and compact, and hands out slices of it, so that what is not
// understood can be written back as it stood.

// stringEnd returns the index behind the string that starts at b[i].
func stringEnd(b []byte, i int) int {
	for i++; b[i] != '"'; i++ {
		if b[i] == '\\' {
			i++
		}
	}
	return i + 1
}

// valueEnd returns the index behind the value that starts at b[i].
func valueEnd(b []byte, i int) int {
	for depth := 0; i < len(b); {
		switch b[i] {
		case '"':
			i = stringEnd(b, i)
		case '{', '[':
			depth++
			i++
			continue
		case '}', ']':
			depth--
			i++
		case ',', ':':
			i++
			continue
		default: // number, true, false, null
			for i < len(b) && b[i] != ',' && b[i] != '}' && b[i] != ']' {
				i++
			}
		}
		if depth == 0 {
			return i
		}
	}
	return i
}

// member is one "key": value of an object, in the order of the file.
type member struct {
	name  string // the key, unescaped
	key   []byte // the key as written, with its quotation marks
	value []byte
}

// members takes an object apart; anything else has none.
func members(b []byte) []member {
	if len(b) == 0 || b[0] != '{' {
		return nil
	}
	return appendMembers(make([]member, 0, 4), b) // features and their properties mostly have no more
}

// appendMembers is members with room for them: dst is returned, and longer.
func appendMembers(ms []member, b []byte) []member {
	if len(b) == 0 || b[0] != '{' {
		return ms
	}
	for i := 1; b[i] != '}'; {
		colon := stringEnd(b, i)
		end := valueEnd(b, colon+1)
		ms = append(ms, member{unquote(b[i:colon]), b[i:colon], b[colon+1 : end]})
		if i = end; b[i] == ',' {
			i++
		}
	}
	return ms
}

// find returns the value of the first member of that name, nil where there is
// none or where it is null: table editors write null for an empty cell.
func find(ms []member, name string) []byte {
	for _, m := range ms {
		if m.name == name && !isNull(m.value) {
			return m.value
		}
	}
	return nil
}

func isNull(raw []byte) bool { return raw[0] == 'n' }

// elements walks a list; anything else has none.
func elements(b []byte) iter.Seq2[int, []byte] {
	return func(yield func(int, []byte) bool) {
		if len(b) == 0 || b[0] != '[' {
			return
		}
		for n, i := 0, 1; b[i] != ']'; n++ {
			end := valueEnd(b, i)
			if !yield(n, b[i:end]) {
				return
			}
			if i = end; b[i] == ',' {
				i++
			}
		}
	}
}

// unquote returns the text of a JSON string.
func unquote(raw []byte) string {
	if bytes.IndexByte(raw, '\\') < 0 {
		return string(raw[1 : len(raw)-1])
	}
	var s string
	if json.Unmarshal(raw, &s) != nil {
		return string(raw) // cannot happen: the text was checked
	}
	return s
}

// describe says what a value is, for "found …".
func describe(raw []byte) string {
	switch raw[0] {
	case '"':
		return "text " + quote(unquote(raw))
	case '{':
		return "an object"
	case '[':
		return "a list"
	}
	return shorten(string(raw)) // number, true, false, null
}
