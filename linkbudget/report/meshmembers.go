package report

import (
	"bytes"
	"encoding/json"
	"strconv"
)

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
