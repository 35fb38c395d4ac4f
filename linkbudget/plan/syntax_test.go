package plan

import (
	"strings"
	"testing"
)

// Line and column are counted by eye in the text beside them.
func TestNotJSON(t *testing.T) {
	for _, c := range []struct{ name, file, problem string }{
		{"empty", "", "found an empty file, allowed a GeoJSON FeatureCollection: draw poles in a GIS and export them, or let polereach begin --from FILE --band BAND FOLDER make one of waypoints"},
		{"blank", " \n\t", "found an empty file, allowed a GeoJSON FeatureCollection: draw poles in a GIS and export them, or let polereach begin --from FILE --band BAND FOLDER make one of waypoints"},
		{"BOM alone", "\uFEFF", "found an empty file, allowed a GeoJSON FeatureCollection: draw poles in a GIS and export them, or let polereach begin --from FILE --band BAND FOLDER make one of waypoints"},
		{"UTF-16", "\xFF\xFE{\x00", "found UTF-16 text, allowed UTF-8: save it anew as that, or iconv -f UTF-16 -t UTF-8 plan.geojson > utf8.geojson"},
		{"not UTF-8", "{\n \"é\xE9\":1}", "found byte 0xE9 at 2:4, allowed UTF-8 text: save it anew as that, or iconv -f WINDOWS-1252 -t UTF-8 plan.geojson > utf8.geojson"},
		{"comma", "{\n  \"a\": 1,\n}", "not JSON at 3:1 (line:column): invalid character '}' looking for beginning of object key string"},
		{"column in characters", `{"é":x}`, "not JSON at 1:6 (line:column): invalid character 'x' looking for beginning of value"},
		{"after a BOM", "\uFEFF{x", "not JSON at 1:2 (line:column): invalid character 'x' looking for beginning of object key string"},
		{"cut off", "{\"a\":\n[1,", "not JSON at 2:4 (line:column): unexpected end of JSON input"},
		{"two values", "{} {}", "not JSON at 1:4 (line:column): invalid character '{' after top-level value"},
		{"NaN", `{"a":NaN}`, "not JSON at 1:6 (line:column): invalid character 'N' looking for beginning of value; found NaN, allowed a number (leave the key out where no value is known)"},
		{"-Infinity", `{"a":-Infinity}`, "not JSON at 1:7 (line:column): invalid character 'I' in numeric literal; found -Infinity, allowed a number (leave the key out where no value is known)"},
		{"nan", `{"a":nan}`, "not JSON at 1:7 (line:column): invalid character 'a' in literal null (expecting 'u'); found nan, allowed a number (leave the key out where no value is known)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			check(t, c.file, -1, "", "", c.problem)
		})
	}
}

func TestNesting(t *testing.T) {
	deep := func(n int) string {
		return collection(point("Old Mill", `"note":`+strings.Repeat("[", n)+strings.Repeat("]", n)))
	}
	if _, err := Read("", []byte(deep(9000))); err != nil {
		t.Errorf("9 000 deep: %v", err)
	}
	list := faultsOf(t, deep(1_000_000))
	if !strings.Contains(list[0].Problem, "exceeded max depth") {
		t.Errorf("1 000 000 deep: %v", list)
	}
}

func TestBOM(t *testing.T) {
	p, err := Read("", []byte("\uFEFF"+collection(point("Old Mill", ""))))
	if err != nil || len(p.Stations) != 1 {
		t.Errorf("%v, %v", p, err)
	}
}
