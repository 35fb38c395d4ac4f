package report

import (
	"bytes"
	"encoding/csv"
	"io"
	"strconv"
	"unicode/utf8"

	"github.com/polereach/polereach/linkbudget/mesh"
)

// MeshCSV writes one row per examined link (RFC 4180, lines end in CR LF), those
// that matter most first. The header holds keys that end in their unit; a
// figure that is not known is an empty field. The error is that of w.
func MeshCSV(w io.Writer, m *mesh.Mesh) error {
	const full, page = 1 << 16, 1 << 12 // whole pages cost a file system less
	out := csvRows{b: make([]byte, 0, full+4096), on: true}
	out.word("", "from")
	out.word("", "to")
	for _, key := range columnKeys() {
		out.word("", key)
	}
	out.endRow()
	names := make([][]byte, len(m.Stations)) // as fields
	for v := range m.Stations {
		names[v] = append(appendField(nil, m.Stations[v].Station.Name), ',')
	}
	links := newMeshLinks(m)
	var l meshLink
	var figures budgetFigures
	for _, i := range byWeight(m) {
		l = links.at(int(i))
		out.b = append(append(out.b, names[l.A]...), names[l.B]...)
		eachColumn(&l, &figures, &out)
		out.endRow()
		if len(out.b) >= full {
			whole := len(out.b) / page * page
			if _, err := w.Write(out.b[:whole]); err != nil {
				return err
			}
			out.b = append(out.b[:0], out.b[whole:]...)
		}
	}
	_, err := w.Write(out.b)
	return err
}

// csvRows writes figures as fields, each with the comma behind it.
type csvRows struct {
	b  []byte
	on bool
}

func (r *csvRows) when(present bool) { r.on = present }

func (r *csvRows) number(_ string, v float64, decimals int) {
	if r.on {
		r.b = appendFixed(r.b, v, decimals)
	}
	r.b = append(r.b, ',')
}

func (r *csvRows) budget(figures *budgetFigures) {
	for _, v := range figures {
		r.number("", v, 3)
	}
}

func (r *csvRows) word(_, text string) {
	if r.on {
		r.b = appendField(r.b, text)
	}
	r.b = append(r.b, ',')
}

func (r *csvRows) count(_ string, n int) {
	if r.on {
		r.b = strconv.AppendInt(r.b, int64(n), 10)
	}
	r.b = append(r.b, ',')
}

func (r *csvRows) truth(_ string, v bool) {
	switch {
	case !r.on:
		r.b = append(r.b, ',')
	case v:
		r.b = append(r.b, "true,"...)
	default:
		r.b = append(r.b, "false,"...)
	}
}

// endRow puts the end of the line in the place of the last comma.
func (r *csvRows) endRow() { r.b = append(r.b[:len(r.b)-1], "\r\n"...) }

// appendField writes a text, in quotes where it needs them.
func appendField(dst []byte, text string) []byte {
	if plainField(text) {
		return append(dst, text...)
	}
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	out.UseCRLF = true
	_ = out.Write([]string{text}) // memory takes everything
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
