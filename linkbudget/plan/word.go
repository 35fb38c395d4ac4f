package plan

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// word is one of a few words, spelt exactly so.
type word[T ~string] struct {
	p       **T
	allowed []T
}

func (w word[T]) read(raw []byte) string {
	i := wordIndex(raw, w.allowed)
	if i < 0 {
		return wordProblem(raw, w.allowed)
	}
	found := w.allowed[i] // a copy: the caller may change his
	*w.p = &found
	return ""
}

func (w word[T]) json() ([]byte, error) {
	if *w.p == nil {
		return nil, nil
	}
	return encode(**w.p)
}

func wordIndex[T ~string](raw []byte, allowed []T) int {
	if raw[0] != '"' {
		return -1
	}
	return slices.Index(allowed, T(unquote(raw)))
}

func wordProblem[T ~string](raw []byte, allowed []T) string {
	quoted := make([]string, len(allowed))
	for i, a := range allowed {
		quoted[i] = strconv.Quote(string(a))
	}
	return fmt.Sprintf("found %s, allowed %s", describe(raw), strings.Join(quoted, ", "))
}

// state is the status of a station; standing is the default and not written.
type state struct{ p *Status }

func (s state) read(raw []byte) string {
	i := wordIndex(raw, statusWords)
	if i < 0 {
		return wordProblem(raw, statusWords)
	}
	*s.p = Status(i)
	return ""
}

func (s state) json() ([]byte, error) {
	if *s.p == Standing {
		return nil, nil
	}
	return encode(s.p.String())
}

// fixed is a key that may hold one word only and says nothing more.
type fixed string

func (f fixed) read(raw []byte) string {
	if allowed := []fixed{f}; wordIndex(raw, allowed) < 0 {
		return wordProblem(raw, allowed)
	}
	return ""
}

func (fixed) json() ([]byte, error) { return nil, nil }

// flag is true or false; true is the default and not written.
type flag struct{ p *bool }

func (f flag) read(raw []byte) string {
	if raw[0] != 't' && raw[0] != 'f' {
		return fmt.Sprintf("found %s, allowed true or false", describe(raw))
	}
	*f.p = raw[0] == 't'
	return ""
}

func (f flag) json() ([]byte, error) {
	if *f.p {
		return nil, nil
	}
	return encode(false)
}

// nameLimit bounds a name in characters: it must fit a line of a report, and
// the search for the nearest name costs its square.
const nameLimit = 100

// text is a name: one line, not blank.
type text struct{ p *string }

func (t text) read(raw []byte) string {
	var s, found string
	if raw[0] == '"' {
		s = unquote(raw)
	}
	switch n := utf8.RuneCountInString(s); {
	case raw[0] != '"':
		found = describe(raw)
	case strings.TrimSpace(s) == "":
		found = "blank text"
	case n > nameLimit:
		found = fmt.Sprintf("%d characters", n)
	case strings.ContainsFunc(s, unicode.IsControl):
		found = "a control character in " + quote(s)
	default:
		*t.p = s
		return ""
	}
	return fmt.Sprintf("found %s, allowed text of 1 to %d characters on one line", found, nameLimit)
}

func (t text) json() ([]byte, error) {
	if *t.p == "" {
		return nil, nil
	}
	return encode(*t.p)
}
