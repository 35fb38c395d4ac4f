package plan

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"unicode/utf8"
)

// value ties one property of the file to one field of a Station, Link or Area.
type value interface {
	// read takes the value from the file; the problem is empty when it is fine.
	read(raw []byte) (problem string)
	// json gives the text to write, nil where the key may be left out.
	json() ([]byte, error)
}

// encode is json.Marshal that leaves <, > and & readable and refuses text that
// would not come back.
func encode(v any) ([]byte, error) {
	if s, isText := v.(string); isText && !utf8.ValidString(s) {
		return nil, errors.New("found text that is not UTF-8, allowed UTF-8")
	}
	if f, isFloat := v.(float64); isFloat && (math.IsNaN(f) || math.IsInf(f, 0)) {
		return nil, fmt.Errorf("found %v, allowed a number", f)
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}
