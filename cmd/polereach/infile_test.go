package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestOneObject(t *testing.T) {
	for _, row := range []struct{ text, want string }{
		{`{"sf": 9, "band": "eu868"}`, ""},
		{` {"a": {"b": [1, {"c": 2}]}, "b": nul}`, "invalid"},
		{`null`, "found <nil>"},
		{`[1]`, "found ["},
		{`{"sf": 9} {"sf": 10}`, "behind the object's end"},
		{`{"sf": 9}x`, "invalid character 'x'"},
		{`{"sf": 9, "sf": 10}`, `key "sf" stands twice`},
		{`{"source": "a", "SOURCE": "b"}`, `key "SOURCE" stands twice`},
		{`{"source": "a", "\u017fource": "b"}`, `stands twice`},
		{`{"a": {"b": 1, "b": 2}}`, `key "a.b" stands twice`},
		{`{"sf": null}`, "sf: found null"},
		{`{"properties": {"JAN": null}}`, ""},
		{`{"sf": 012}`, "invalid"},
		{`{"sf": 9`, "EOF"},
		{``, "EOF"},
		{strings.Repeat(`{"a":`, 100000) + "1" + strings.Repeat("}", 100000), "nested deeper than 64, starting with a.a."},
	} {
		err := oneObject([]byte(row.text))
		if row.want == "" && err != nil || row.want != "" && (err == nil || !strings.Contains(err.Error(), row.want)) {
			t.Errorf("%s: %v, want %q", row.text, err, row.want)
		}
	}
}

// What never ends is not read, for whatever input it is given.
func TestOnlyFilesAreRead(t *testing.T) {
	if _, err := os.Stat("/dev/zero"); err != nil {
		t.Skip("no such device here:", err)
	}
	sunny := filepath.Join(filepath.Dir(demoPlan), "sun.geojson")
	for _, args := range [][]string{
		{"plan", "/dev/zero"}, {"site", "--pole", "x", "/dev/zero"}, {"plan", "--changed-from", "/dev/zero", demoPlan},
		{"plan", "--radio", "/dev/zero", demoPlan}, {"plan", "--merge", "/dev/zero"}, {"link", "--ground", "/dev/zero"},
		{"sun", "--pole", "Sunny Shoulder", "--climate", "/dev/zero", sunny}, {"sun", "--pole", "Sunny Shoulder", "--weather", "/dev/zero", sunny},
		{"site", "--pole", "Sorrel Ridge", "--dem", "/dev/zero", demoPlan},
	} {
		got := polereach(t, args...)
		if got.code != exitUsage || !strings.Contains(got.err, "neither a file") {
			t.Errorf("%v: exit %d, %s", args, got.code, got.err)
		}
	}
}
