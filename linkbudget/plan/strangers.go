package plan

import (
	"encoding/binary"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// obeyed reports whether a terminal would obey a character, or does not show it: a control
// character but for the end of a line and the tab, one that turns the direction of writing,
// takes no room, or breaks lines unseen. Names and notes in the files of strangers may hold
// any of them.
func obeyed(r rune) bool {
	return r != '\n' && r != '\t' && (unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp))
}

// plainB is how many bytes from the first on are ASCII that a terminal shows, ends of
// lines and tabs among them.
func plainB(s string) int {
	for i := range len(s) {
		if c := s[i]; c < ' ' && c != '\n' && c != '\t' || c >= 0x7f {
			return i
		}
	}
	return len(s)
}

// Visible spells out, as <U+001B>, what a terminal would obey or not show in a text, and
// as <9B> bytes that are no text.
func Visible(text string) string {
	plain := plainB(text)
	if plain == len(text) {
		return text
	}
	var b strings.Builder
	b.WriteString(text[:plain])
	for i, r := range text[plain:] {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(text[plain+i:], "\uFFFD"):
			fmt.Fprintf(&b, "<%02X>", text[plain+i])
		case obeyed(r):
			fmt.Fprintf(&b, "<U+%04X>", r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Escaped writes the same characters of a JSON text as \uXXXX, which every reader of JSON
// takes for them (RFC 8259 section 7). Text without any comes back as it is.
func Escaped(text []byte) []byte {
	plain := asciiB(text)
	if plain == len(text) {
		return text
	}
	out := append(make([]byte, 0, len(text)+64), text[:plain]...)
	for rest := text[plain:]; len(rest) > 0; {
		r, n := utf8.DecodeRune(rest)
		switch high, low := utf16.EncodeRune(r); {
		case !obeyed(r):
			out = append(out, rest[:n]...)
		case r > 0xffff:
			out = fmt.Appendf(out, `\u%04x\u%04x`, high, low)
		default:
			out = fmt.Appendf(out, `\u%04x`, r)
		}
		rest = rest[n:]
		plain = asciiB(rest)
		out, rest = append(out, rest[:plain]...), rest[plain:]
	}
	return out
}

// asciiB is how many bytes from the first on are below 0x7f. In JSON none below the blank
// stands in a string. It looks at eight at a time.
func asciiB(text []byte) int {
	const ones, tops = 0x0101010101010101, 0x8080808080808080
	i := 0
	for ; i+8 <= len(text); i += 8 {
		if x := binary.LittleEndian.Uint64(text[i:]); (x|(x+ones))&tops != 0 {
			break
		}
	}
	for i < len(text) && text[i] < 0x7f {
		i++
	}
	return i
}
