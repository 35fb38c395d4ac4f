package report

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/polereach/polereach/linkbudget"
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

func db(v linkbudget.DB) float64   { return fixed(float64(v), 3) }
func dbm(v linkbudget.DBm) float64 { return fixed(float64(v), 3) }
func metres(v float64) float64     { return fixed(v, 3) }
func placeDeg(v float64) float64   { return fixed(v, 7) }
func angleDeg(v float64) float64   { return fixed(v, 4) }

func ptr[T any](v T) *T { return &v }

// writeJSON writes v indented with a final newline, without escaping < and >.
func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// jsonAppender writes JSON as encoding/json does, without <, > and & escaped.
// Keys are plain words.
type jsonAppender struct {
	b   []byte
	err error // a number that has no JSON
}

// comma separates what follows from what is there.
func (o *jsonAppender) comma() {
	if n := len(o.b); n > 0 && o.b[n-1] != '{' && o.b[n-1] != '[' && o.b[n-1] != ':' {
		o.b = append(o.b, ',')
	}
}

func (o *jsonAppender) open(bracket byte) {
	o.comma()
	o.b = append(o.b, bracket)
}

func (o *jsonAppender) close(bracket byte) { o.b = append(o.b, bracket) }

func (o *jsonAppender) key(key string) {
	o.comma()
	o.b = append(append(append(o.b, '"'), key...), '"', ':')
}

func (o *jsonAppender) raw(key string, value []byte) {
	o.key(key)
	o.b = append(o.b, value...)
}

func (o *jsonAppender) text(key, text string) {
	o.key(key)
	o.b = appendText(o.b, text)
}

func (o *jsonAppender) textIfAny(key, text string) {
	if text != "" {
		o.text(key, text)
	}
}

func (o *jsonAppender) truth(key string, v bool) {
	o.key(key)
	o.b = strconv.AppendBool(o.b, v)
}

func (o *jsonAppender) countIfAny(key string, n int) {
	if n != 0 {
		o.key(key)
		o.b = strconv.AppendInt(o.b, int64(n), 10)
	}
}

// number writes fixed(v, decimals).
func (o *jsonAppender) number(key string, v float64, decimals int) {
	o.key(key)
	if a := math.Abs(v); a < 1e7 && (decimals < 7 || a >= 1e-6) {
		o.b = appendFixed(o.b, v, decimals)
		return
	}
	text, err := json.Marshal(fixed(v, decimals)) // where it may write an exponent, or refuse
	if err != nil {
		o.err = err
	}
	o.b = append(o.b, text...)
}

// appendText writes a text as JSON.
func appendText(dst []byte, text string) []byte {
	for i := range len(text) {
		if c := text[i]; c < ' ' || c > '~' || c == '"' || c == '\\' {
			return append(dst, rawJSON(text)...)
		}
	}
	return append(append(append(dst, '"'), text...), '"')
}

// rawMember is one member of a JSON object, its value as it was written.
type rawMember struct {
	key   string
	value json.RawMessage
}

// rawObject is a JSON object in its own order: what is not touched comes out as
// it stood.
type rawObject []rawMember

// UnmarshalJSON keeps the order of the members.
func (o *rawObject) UnmarshalJSON(data []byte) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	if token, err := dec.Token(); err != nil || token != json.Delim('{') {
		*o = nil // null, or a caller's bug that encoding/json reports elsewhere
		return err
	}
	for dec.More() {
		token, err := dec.Token()
		if err != nil {
			return err
		}
		var value json.RawMessage
		if err := dec.Decode(&value); err != nil {
			return err
		}
		*o = append(*o, rawMember{token.(string), value})
	}
	return nil
}

// write appends the object to b.
func (o rawObject) write(b *bytes.Buffer) {
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		writeText(b, m.key)
		b.WriteByte(':')
		b.Write(m.value)
	}
	b.WriteByte('}')
}

func (o rawObject) find(key string) (json.RawMessage, bool) {
	for _, m := range o {
		if m.key == key {
			return m.value, true
		}
	}
	return nil, false
}

// set replaces the value of a key or appends it.
func (o *rawObject) set(key string, value json.RawMessage) {
	for i := range *o {
		if (*o)[i].key == key {
			(*o)[i].value = value
			return
		}
	}
	*o = append(*o, rawMember{key, value})
}

// drop takes a key out.
func (o *rawObject) drop(key string) {
	for i := range *o {
		if (*o)[i].key == key {
			*o = append((*o)[:i], (*o)[i+1:]...)
			return
		}
	}
}

// writeText writes a JSON string without escaping < and >.
func writeText(b *bytes.Buffer, s string) { b.Write(rawJSON(s)) }

// rawJSON is the JSON of a value that is known to have one.
func rawJSON(v any) json.RawMessage {
	switch v := v.(type) { // most values, at a tenth of the cost
	case float64:
		return strconv.AppendFloat(nil, v, 'f', -1, 64)
	case int:
		return strconv.AppendInt(nil, int64(v), 10)
	case bool:
		return strconv.AppendBool(nil, v)
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		panic("report: a figure without JSON: " + err.Error())
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}

// lineList is a member whose elements are written one a line.
type lineList struct {
	key    string
	n      int
	append func(dst []byte, i int) ([]byte, error)
}

// encoded is lineList.append of values that encoding/json writes.
func encoded(at func(i int) any) func(dst []byte, i int) ([]byte, error) {
	return func(dst []byte, i int) ([]byte, error) {
		buf := bytes.NewBuffer(dst)
		enc := json.NewEncoder(buf)
		enc.SetEscapeHTML(false)
		err := enc.Encode(at(i))
		return bytes.TrimSuffix(buf.Bytes(), []byte("\n")), err
	}
}

// writeLines writes an object: the members of head indented, then the lists.
// Elements are made one at a time, so that a large mesh is not held twice.
func writeLines(w io.Writer, head any, lists ...lineList) error {
	out := bufio.NewWriter(w)
	var buf bytes.Buffer
	if err := writeJSON(&buf, head); err != nil {
		return err
	}
	out.Write(bytes.TrimSuffix(buf.Bytes(), []byte("\n}\n")))
	var line []byte
	for _, l := range lists {
		fmt.Fprintf(out, ",\n  %q: [", l.key)
		for i := range l.n {
			var err error
			if line, err = l.append(line[:0], i); err != nil {
				return err
			}
			separator := ",\n    "
			if i == 0 {
				separator = "\n    "
			}
			out.WriteString(separator)
			out.Write(line)
		}
		if l.n > 0 {
			out.WriteString("\n  ")
		}
		out.WriteString("]")
	}
	out.WriteString("\n}\n")
	return out.Flush()
}
