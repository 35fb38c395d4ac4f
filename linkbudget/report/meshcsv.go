package report

import (
	"bytes"
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/magnetic"
)

// MeshCSV writes one row per examined link (RFC 4180, lines end in CR LF), those
// that matter most first. The header holds keys that end in their unit; a
// figure that is not known is an empty field. Texts that a spreadsheet would compute begin
// with an apostrophe, and characters that a terminal would obey are spelt out as in
// [plan.Visible]. The error is that of w.
func MeshCSV(w io.Writer, m *mesh.Mesh) (err error) {
	defer fault.Recovered(&err)
	const full, page = 1 << 16, 1 << 12 // whole pages cost a file system less
	out := appendHead(make([]byte, 0, full+4096))
	names := make([][]byte, len(m.Stations)) // as fields
	for v := range m.Stations {
		names[v] = append(appendField(nil, m.Stations[v].Station.Name), ',')
	}
	links := newMeshLinks(m)
	var l link
	for _, i := range byWeight(m) {
		l = links.at(int(i))
		out = append(append(out, names[l.A]...), names[l.B]...)
		out = append(appendRow(out, &l), "\r\n"...)
		if len(out) >= full {
			whole := len(out) / page * page
			if _, err := w.Write(out[:whole]); err != nil {
				return err
			}
			out = append(out[:0], out[whole:]...)
		}
	}
	_, err = w.Write(out)
	return err
}

func appendHead(dst []byte) []byte {
	return append(dst, "from,to,"+strings.Join(keysOf(linkColumns), ",")+"\r\n"...)
}

// SiteCSV writes one row per neighbour, in the order of the table, as MeshCSV does; from is
// the pole.
func SiteCSV(w io.Writer, s *mesh.Site, opt SiteOptions) (err error) {
	defer fault.Recovered(&err)
	here := magnetic.NewCompass(s.At.At, opt.Date)
	out := appendHead(nil)
	for i := range s.Links {
		out = appendLink(out, siteLink(&s.Links[i], here, opt))
	}
	_, err = w.Write(out)
	return err
}

// LinkCSV writes the row of one path as MeshCSV does, from A to B.
func LinkCSV(w io.Writer, l Link) (err error) {
	defer fault.Recovered(&err)
	_, err = w.Write(appendLink(appendHead(nil), l.figures()))
	return err
}

// appendLink writes a row with the names of its ends.
func appendLink(dst []byte, l *link) []byte {
	dst = append(appendField(dst, l.from), ',')
	dst = append(appendField(dst, l.to), ',')
	return append(appendRow(dst, l), "\r\n"...)
}

// appendRow writes figures as fields with commas between them.
func appendRow(dst []byte, l *link) []byte {
	present := l.present()
	for i := range linkColumns {
		f := &linkColumns[i]
		switch {
		case f.when&present == 0:
		case f.number != nil:
			dst = appendFixed(dst, f.number(l), f.decimals)
		case f.count != nil:
			dst = strconv.AppendInt(dst, int64(f.count(l)), 10)
		case f.word != nil:
			dst = appendField(dst, f.word(l))
		default:
			dst = strconv.AppendBool(dst, f.truth(l))
		}
		dst = append(dst, ',')
	}
	return dst[:len(dst)-1]
}

// appendField writes a text as cellText has it, in quotes where it needs them.
func appendField(dst []byte, text string) []byte {
	if plainField(text) {
		return append(dst, text...)
	}
	text = cellText(text)
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	out.UseCRLF = true
	_ = out.Write([]string{text}) // memory takes everything
	out.Flush()
	return append(dst, bytes.TrimSuffix(b.Bytes(), []byte("\r\n"))...)
}

// plainField reports whether a text is sure to stand as it is, without quotes.
func plainField(s string) bool {
	if s != "" && (s[0] == '=' || s[0] == '+' || s[0] == '-' || s[0] == '@') {
		return false
	}
	for i := range len(s) {
		if c := s[i]; c <= '"' && (c != ' ' || i == 0) || c == ',' || c == '\\' || c >= 0x7f {
			return false
		}
	}
	return true
}

// computed is what begins a formula in a spreadsheet, or what is skipped before one (OWASP,
// CSV Injection); the wide forms count in some.
const computed = "=+-@\t\r\n＝＋－＠"

// cellText is a text of CSV: what begins like a formula stands behind an apostrophe, which
// spreadsheets take for the mark of a text. Numbers are not handed to it.
func cellText(text string) string {
	if begin := strings.TrimLeft(text, " "); strings.IndexAny(begin, computed) == 0 {
		text = "'" + text
	}
	return plan.Visible(text)
}

// belowHalf is the float64 before 0.5: with it added, cutting the fraction off is rounding,
// halves away from zero.
const belowHalf = 0.49999999999999994

var powerOfTen = [...]float64{1, 10, 100, 1e3, 1e4, 1e5, 1e6, 1e7}

// appendFixed writes fixed(v, decimals), decimals from 0 to 7.
func appendFixed(dst []byte, v float64, decimals int) []byte {
	scaled := v * powerOfTen[decimals]
	if !(math.Abs(scaled) < 1e14) {
		return strconv.AppendFloat(dst, fixed(v, decimals), 'f', -1, 64)
	}
	n := int64(scaled + math.Copysign(belowHalf, scaled))
	if n < 0 {
		dst, n = append(dst, '-'), -n
	}
	power := int64(powerOfTen[decimals])
	whole := n / power
	dst = strconv.AppendInt(dst, whole, 10)
	part := uint32(n - whole*power)
	if part == 0 {
		return dst
	}
	dst = append(dst, ".0000000"[:1+decimals]...)
	for i := len(dst) - 1; part > 0; i-- {
		dst[i], part = '0'+byte(part%10), part/10
	}
	for dst[len(dst)-1] == '0' {
		dst = dst[:len(dst)-1]
	}
	return dst
}
