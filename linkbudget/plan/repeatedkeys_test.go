package plan

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// repeatedByDecoder is repeatedKeys by the tokens of encoding/json, all keys in maps.
func repeatedByDecoder(dec *json.Decoder) (repeated []string) {
	open, _ := dec.Token()
	if _, opens := open.(json.Delim); !opens {
		return nil
	}
	count := map[string]int{}
	for dec.More() {
		if open == json.Delim('{') {
			key, _ := dec.Token()
			if count[key.(string)]++; count[key.(string)] == 2 {
				repeated = append(repeated, key.(string))
			}
		}
		repeated = append(repeated, repeatedByDecoder(dec)...)
	}
	_, _ = dec.Token()
	return repeated
}

// Objects of few and of many keys, with and without repetition, as encoding/json has them.
func TestRepeatedKeysAreThoseOfTheDecoder(t *testing.T) {
	unique, repeated, large := 0, 0, 0
	var value func(t *rapid.T, depth int) string
	value = func(t *rapid.T, depth int) string {
		kind := rapid.IntRange(0, 5).Draw(t, "kind")
		if depth == 0 {
			kind = 0
		}
		var parts []string
		n := rapid.IntRange(0, 12).Draw(t, "members")
		if depth == 1 && rapid.IntRange(0, 5).Draw(t, "many") == 0 {
			n = rapid.IntRange(fewKeys, 2*fewKeys).Draw(t, "members")
		}
		switch {
		case kind < 2:
			return rapid.SampledFrom([]string{"1", `"a"`, `"{\"a\":1"`, "null", `"x:"`}).Draw(t, "leaf")
		case kind == 2:
			for range n {
				parts = append(parts, value(t, depth-1))
			}
			return "[" + strings.Join(parts, ",") + "]"
		}
		keys := rapid.SliceOfN(rapid.StringMatching(`[ab{:]{1,3}|\\\\|\\u0061`), n, n).Draw(t, "keys")
		if rapid.Bool().Draw(t, "distinct") {
			slices.Sort(keys)
			keys = slices.Compact(keys)
		}
		if len(keys) > fewKeys {
			large++
		}
		for _, key := range keys {
			parts = append(parts, `"`+key+`":`+value(t, depth-1))
		}
		return "{" + strings.Join(parts, ",") + "}"
	}
	rapid.Check(t, func(t *rapid.T) {
		text := []byte(value(t, 4))
		if !json.Valid(text) {
			t.Fatalf("%s is not JSON", text)
		}
		want := repeatedByDecoder(json.NewDecoder(bytes.NewReader(text)))
		if got := repeatedKeys(text); !slices.Equal(got, want) {
			t.Fatalf("%s repeats %q, want %q", text, got, want)
		}
		if len(want) > 0 {
			repeated++
		} else {
			unique++
		}
	})
	if unique < 5 || repeated < 5 || large < 5 {
		t.Errorf("%d texts without and %d with repetitions and %d large objects were drawn", unique, repeated, large)
	}
}
