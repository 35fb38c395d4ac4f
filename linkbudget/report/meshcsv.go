package report

import (
	"bytes"
	"encoding/csv"
	"io"
	"unicode/utf8"

	"github.com/polereach/polereach/linkbudget/plan"
)

// MeshCSV writes one row per examined link (RFC 4180, lines end in CR LF), those
// that matter most first. The header holds keys that end in their unit; a
// figure that is not known is an empty field. The error is that of w.
func MeshCSV(w io.Writer, m *plan.Mesh) error {
	const full = 1 << 16
	out := make([]byte, 0, full+4096)
	for _, c := range linkColumns {
		out = append(append(out, c.key...), ',')
	}
	out = endRow(out)
	links := meshLinks(m)
	for _, i := range byWeight(m) {
		out = appendRow(out, &links[i])
		if len(out) >= full {
			if _, err := w.Write(out); err != nil {
				return err
			}
			out = out[:0]
		}
	}
	_, err := w.Write(out)
	return err
}

func appendRow(dst []byte, l *meshLink) []byte {
	present := l.present()
	for k := range linkColumns {
		switch c := &linkColumns[k]; {
		case c.when&^present != 0:
		case c.number != nil:
			dst = appendFixed(dst, c.number(l), c.decimals)
		default:
			dst = appendField(dst, c.other(l))
		}
		dst = append(dst, ',')
	}
	return endRow(dst)
}

// endRow puts the end of the line in the place of the last comma.
func endRow(dst []byte) []byte { return append(dst[:len(dst)-1], "\r\n"...) }

// appendField writes a figure in quotes where it needs them.
func appendField(dst []byte, f figure) []byte {
	if f.kind != wordFigure || plainField(f.text) {
		return f.append(dst)
	}
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	out.UseCRLF = true
	_ = out.Write([]string{f.text}) // memory takes everything
	out.Flush()
	return append(dst, bytes.TrimSuffix(b.Bytes(), []byte("\r\n"))...)
}

// plainField reports whether a field is sure to need no quotes.
func plainField(s string) bool {
	for i := range len(s) {
		if c := s[i]; c <= '"' && (c != ' ' || i == 0) || c == ',' || c == '\\' || c >= utf8.RuneSelf && i == 0 {
			return false
		}
	}
	return true
}
