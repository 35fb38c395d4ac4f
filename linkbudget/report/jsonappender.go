package report

import (
	"encoding/json"
	"math"
	"strconv"
)

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
