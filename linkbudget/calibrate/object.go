package calibrate

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
)

// objects remembers where the columns stand in objects of one form: those of a log are alike.
type objects struct {
	form   []byte // the keys of the last
	at     [columnCount]int
	keys   [][]byte
	fields [][]byte
}

// object reads a row that is a JSON object.
func (d *reader) object(text []byte) error {
	d.rows++
	return d.values(text)
}

func (d *reader) values(text []byte) error {
	if !json.Valid(text) || text[0] != '{' {
		return fmt.Errorf("no JSON object")
	}
	if !d.flat(text) {
		if err := d.nested(text); err != nil {
			return err
		}
	}
	if form := bytes.Join(d.keys, []byte{0}); d.form == nil || !bytes.Equal(form, d.form) {
		names := make([]string, len(d.keys))
		for i, key := range d.keys {
			names[i] = string(key)
		}
		at, err := header(names, d.mapped)
		if err != nil {
			return err
		}
		d.form, d.at = form, at
	}
	for c, i := range d.at {
		if i >= 0 {
			d.texts[c] = jsonText(d.fields[i])
		} else if c != colLon && c != colLat {
			d.texts[c] = ""
		}
	}
	err := d.take()
	d.texts[colLon], d.texts[colLat] = "", ""
	return err
}

// flat finds keys and values of a valid object without looking into them; false where a
// text has an escape, or a value is an object or a list.
func (d *reader) flat(text []byte) bool {
	d.keys, d.fields = d.keys[:0], d.fields[:0]
	if bytes.IndexByte(text, '\\') >= 0 || bytes.IndexByte(text[1:], '{') >= 0 || bytes.IndexByte(text, '[') >= 0 {
		return false
	}
	text = bytes.TrimSpace(text[1:])
	for text[0] != '}' {
		end := 1 + bytes.IndexByte(text[1:], '"')
		d.keys = append(d.keys, text[1:end])
		text = bytes.TrimSpace(text[end+1:])
		text = bytes.TrimSpace(text[1:]) // the colon
		end = bytes.IndexAny(text, ",}")
		if text[0] == '"' {
			end = 2 + bytes.IndexByte(text[1:], '"')
		}
		d.fields = append(d.fields, bytes.TrimSpace(text[:end]))
		if text = bytes.TrimSpace(text[end:]); text[0] == ',' {
			text = bytes.TrimSpace(text[1:])
		}
	}
	return true
}

// nested is flat for any object.
func (d *reader) nested(text []byte) error {
	d.keys, d.fields = d.keys[:0], d.fields[:0]
	dec := json.NewDecoder(bytes.NewReader(text))
	if _, err := dec.Token(); err != nil {
		return err
	}
	for dec.More() {
		key, err := dec.Token()
		if err != nil {
			return err
		}
		var value json.RawMessage
		if err := dec.Decode(&value); err != nil {
			return err
		}
		d.keys, d.fields = append(d.keys, []byte(fmt.Sprint(key))), append(d.fields, value)
	}
	return nil
}

// jsonText is a value as it would stand in a CSV.
func jsonText(raw []byte) string {
	switch {
	case len(raw) == 0 || string(raw) == "null":
		return ""
	case string(raw) == "true":
		return "1"
	case string(raw) == "false":
		return "0"
	case raw[0] != '"':
		return string(raw)
	case bytes.IndexByte(raw, '\\') < 0:
		return string(bytes.TrimSpace(raw[1 : len(raw)-1]))
	}
	var s string
	if err := json.Unmarshal(raw, &s); err != nil {
		return string(raw)
	}
	return strings.TrimSpace(s)
}
