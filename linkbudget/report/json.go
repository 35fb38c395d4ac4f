package report

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
	"strconv"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
)

// fixed is a number written to JSON with at most so many decimals, without
// trailing zeros. The sign of a rounded zero is dropped.
func fixed(v float64, decimals int) float64 {
	scale := math.Pow(10, float64(decimals))
	if r := math.Round(v*scale) / scale; r != 0 {
		return r
	}
	return 0
}

func db(v linkbudget.DB) float64 { return fixed(float64(v), 3) }
func metres(v float64) float64   { return fixed(v, 3) }
func placeDeg(v float64) float64 { return fixed(v, 7) }

func ptr[T any](v T) *T { return &v }

// writeCommand writes the object of a command indented, with a final newline.
func writeCommand(w io.Writer, command string, members func(o *object)) error {
	text, err := indented(func(o *object) {
		o.count("schema", 1)
		o.text("command", command)
		members(o)
	})
	if err == nil {
		_, err = w.Write(append(text, '\n'))
	}
	return err
}

// indented is an object with every member in a line.
func indented(members func(o *object)) ([]byte, error) {
	var o object
	o.braced(members)
	var text bytes.Buffer
	if o.err == nil {
		o.err = json.Indent(&text, o.b, "", "  ")
	}
	return text.Bytes(), o.err
}

// object appends JSON in the order of its calls, as encoding/json does, without <, > and
// & escaped. Keys of ours are plain words.
type object struct {
	b   []byte
	err error // a value that has no JSON
}

// comma separates what follows from what is there; a line begins with none.
func (o *object) comma() {
	if n := len(o.b); n > 0 && o.b[n-1] != '{' && o.b[n-1] != '[' && o.b[n-1] != ':' && o.b[n-1] != '\n' {
		o.b = append(o.b, ',')
	}
}

func (o *object) open(bracket byte) {
	o.comma()
	o.b = append(o.b, bracket)
}

func (o *object) close(bracket byte) { o.b = append(o.b, bracket) }

func (o *object) key(key string) {
	o.comma()
	o.b = append(append(append(o.b, '"'), key...), '"', ':')
}

func (o *object) braced(members func(o *object)) {
	o.open('{')
	members(o)
	o.close('}')
}

// object writes an object as a member.
func (o *object) object(key string, members func(o *object)) {
	o.key(key)
	o.braced(members)
}

// list writes a list of n objects as a member.
func (o *object) list(key string, n int, members func(i int)) {
	o.key(key)
	o.open('[')
	for i := range n {
		o.open('{')
		members(i)
		o.close('}')
	}
	o.close(']')
}

// someList leaves an empty list out.
func (o *object) someList(key string, n int, members func(i int)) {
	if n > 0 {
		o.list(key, n, members)
	}
}

func (o *object) raw(key string, value []byte) {
	o.key(key)
	o.b = append(o.b, value...)
}

// value writes what encoding/json makes of it.
func (o *object) value(key string, v any) {
	o.key(key)
	o.encode(v)
}

// some writes what is not empty: no zero, no text or list of nothing.
func (o *object) some(key string, v any) {
	if r := reflect.ValueOf(v); !r.IsZero() && (r.Kind() != reflect.Slice || r.Len() > 0) {
		o.value(key, v)
	}
}

// inline writes the members of what encoding/json makes an object of.
func (o *object) inline(v any) {
	var inner object
	if inner.encode(v); inner.err != nil {
		o.err = inner.err
		return
	}
	o.comma()
	o.b = append(o.b, inner.b[1:len(inner.b)-1]...)
}

func (o *object) encode(v any) {
	switch v := v.(type) { // most values, at a tenth of the cost
	case float64:
		if a := math.Abs(v); a < 1e15 && (a >= 1e-6 || a == 0) {
			o.b = strconv.AppendFloat(o.b, v, 'f', -1, 64)
			return
		}
	case int:
		o.b = strconv.AppendInt(o.b, int64(v), 10)
		return
	case bool:
		o.b = strconv.AppendBool(o.b, v)
		return
	}
	before := len(o.b)
	b := bytes.NewBuffer(o.b)
	enc := json.NewEncoder(b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		o.err = err
		return
	}
	o.b = bytes.TrimSuffix(b.Bytes(), []byte("\n"))
	if escaped := plan.Escaped(o.b[before:]); len(escaped) != len(o.b)-before {
		o.b = append(o.b[:before], escaped...)
	}
}

func (o *object) text(key, text string) {
	o.key(key)
	o.b = appendText(o.b, text)
}

func (o *object) truth(key string, v bool) {
	o.key(key)
	o.b = strconv.AppendBool(o.b, v)
}

func (o *object) count(key string, n int) {
	o.key(key)
	o.b = strconv.AppendInt(o.b, int64(n), 10)
}

// number writes fixed(v, decimals).
func (o *object) number(key string, v float64, decimals int) {
	if a := math.Abs(v); a < 1e7 && (decimals < 7 || a >= 1e-6) {
		o.key(key)
		o.b = appendFixed(o.b, v, decimals)
		return
	}
	o.value(key, fixed(v, decimals)) // where it may have an exponent, or be refused
}

// numberIf writes one that is known.
func (o *object) numberIf(known bool, key string, v float64, decimals int) {
	if known {
		o.number(key, v, decimals)
	}
}

func (o *object) stands(at orb.Point) {
	o.number("lon_deg", at.Lon(), 7)
	o.number("lat_deg", at.Lat(), 7)
}

func (o *object) place(key string, lonDeg, latDeg float64) {
	o.object(key, func(o *object) { o.stands(orb.Point{lonDeg, latDeg}) })
}

// members writes those of an object that was read.
func (o *object) members(read rawObject) {
	for _, m := range read {
		o.comma()
		o.b = append(append(appendText(o.b, m.key), ':'), m.value...)
	}
}

// appendText writes a text as JSON.
func appendText(dst []byte, text string) []byte {
	for i := range len(text) {
		if c := text[i]; c < ' ' || c > '~' || c == '"' || c == '\\' {
			o := object{b: dst}
			o.encode(text)
			return o.b
		}
	}
	return append(append(append(dst, '"'), text...), '"')
}

// lineList is a member whose elements are written one a line.
type lineList struct {
	key   string
	n     int
	write func(o *object, i int)
}

// writeLines writes an object: the members of head indented, then the lists.
// Elements are made one at a time, so that a large mesh is not held twice.
func writeLines(w io.Writer, head func(o *object), lists ...lineList) error {
	text, err := indented(head)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	out.Write(bytes.TrimSuffix(text, []byte("\n}")))
	var line object
	for _, l := range lists {
		fmt.Fprintf(out, ",\n  %q: [", l.key)
		for i := range l.n {
			line.b = line.b[:0]
			if l.write(&line, i); line.err != nil {
				return line.err
			}
			separator := ",\n    "
			if i == 0 {
				separator = "\n    "
			}
			out.WriteString(separator)
			out.Write(line.b)
		}
		if l.n > 0 {
			out.WriteString("\n  ")
		}
		out.WriteString("]")
	}
	out.WriteString("\n}\n")
	return out.Flush()
}
