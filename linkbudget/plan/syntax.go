package plan

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"
)

// compact returns the file without white space, with what a terminal would obey escaped, or what stops it being JSON.
func compact(source string, data []byte) (text []byte, problem string) {
	if isUTF16(data) {
		return nil, "found UTF-16 text, allowed UTF-8: save it anew as that, or iconv -f UTF-16 -t UTF-8 " +
			shellWord(source) +
			" > utf8.geojson"
	}
	if problem := foreign(source, data); problem != "" {
		return nil, problem
	}
	data = bytes.TrimPrefix(data, []byte("\uFEFF"))
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, "found an empty file, allowed a GeoJSON FeatureCollection: draw poles in a GIS and export them, or let " +
			begin("") + " make one of waypoints"
	}
	if at := invalidUTF8(data); at >= 0 {
		return nil, fmt.Sprintf("found byte 0x%02X at %s, allowed UTF-8 text: save it anew as that, or iconv -f "+
			"WINDOWS-1252 -t UTF-8 %s > "+
			"utf8.geojson", data[at], lineColumn(data, at), shellWord(source))
	}
	var b bytes.Buffer
	b.Grow(len(data))
	if err := json.Compact(&b, data); err != nil { // checks as json.Valid does
		if problem := otherText(source, data); problem != "" {
			return nil, problem
		}
		return nil, syntaxProblem(data)
	}
	return Escaped(b.Bytes()), ""
}

// isUTF16 tells it by its mark, or by a zero in one of the first two bytes: JSON begins with ASCII.
func isUTF16(data []byte) bool {
	return bytes.HasPrefix(data, []byte{0xFF, 0xFE}) || bytes.HasPrefix(data, []byte{0xFE, 0xFF}) ||
		len(data) > 3 && (data[0] == 0) != (data[1] == 0) && (data[0] == 0) == (data[2] == 0) &&
			(data[1] == 0) == (data[3] == 0)
}

func invalidUTF8(data []byte) int {
	if utf8.Valid(data) {
		return -1
	}
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

// syntaxProblem says where the text stops being JSON, as line:column.
func syntaxProblem(data []byte) string {
	var raw json.RawMessage
	err := json.Unmarshal(data, &raw)
	var syntax *json.SyntaxError
	if !errors.As(err, &syntax) {
		return fmt.Sprintf("not JSON: %v", err)
	}
	at := int(syntax.Offset) // bytes read, the offending one included
	if !strings.HasPrefix(syntax.Error(), "unexpected end") {
		at--
	}
	problem := fmt.Sprintf("not JSON at %s (line:column): %v", lineColumn(data, at), err)
	if w := wordAround(data, at); notANumber[strings.ToLower(strings.TrimLeft(w, "+-"))] {
		problem += fmt.Sprintf("; found %s, allowed a number (leave the key out where no value is known)", w)
	}
	return problem
}

// notANumber holds what careless writers put where JSON wants a number.
var notANumber = map[string]bool{"nan": true, "inf": true, "infinity": true}

func wordAround(data []byte, at int) string {
	inWord := func(i int) bool {
		return i >= 0 && i < len(data) && (data[i]|0x20 >= 'a' && data[i]|0x20 <= 'z' || data[i] == '-' || data[i] == '+')
	}
	from, to := at, at
	for at-from < 16 && inWord(from-1) {
		from--
	}
	for to-at < 16 && inWord(to) {
		to++
	}
	return string(data[from:to])
}

// lineColumn counts both from 1, the column in characters.
func lineColumn(data []byte, at int) string {
	at = min(max(at, 0), len(data))
	line := 1 + bytes.Count(data[:at], []byte("\n"))
	start := 1 + bytes.LastIndexByte(data[:at], '\n')
	return fmt.Sprintf("%d:%d", line, 1+utf8.RuneCount(data[start:at]))
}
