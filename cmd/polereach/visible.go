package main

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// visible spells out, as <U+001B>, what a terminal would obey and what hides in a line:
// control characters but for the ends of lines and tabs, characters that turn the
// direction of writing or take no room, and bytes that are no text. Names and notes in
// the files of strangers may hold any of them.
func visible(s string) string {
	plain := true
	for i := 0; i < len(s) && plain; i++ {
		plain = s[i] >= ' ' && s[i] < 0x7f || s[i] == '\n' || s[i] == '\t'
	}
	if plain {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], "\uFFFD"):
			fmt.Fprintf(&b, "<%02X>", s[i])
		case r != '\n' && r != '\t' && (unicode.IsControl(r) || unicode.Is(unicode.Cf, r) ||
			unicode.In(r, unicode.Zl, unicode.Zp)):
			fmt.Fprintf(&b, "<U+%04X>", r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// checkedWriter keeps the first error of writing: help is written by a library that
// passes over it.
type checkedWriter struct {
	io.Writer
	err error
}

func (w *checkedWriter) Write(data []byte) (int, error) {
	n, err := w.Writer.Write(data)
	if w.err == nil {
		w.err = err
	}
	return n, err
}
