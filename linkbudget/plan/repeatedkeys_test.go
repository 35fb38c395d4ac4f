package plan

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Without maps and with them the same keys are repeated: none where plainlyUnique says
// so, and it says so of small objects without repetition.
func TestRepeatedKeysWithAndWithoutMaps(t *testing.T) {
	plain, repeated := 0, 0
	var value func(t *rapid.T, depth int) string
	value = func(t *rapid.T, depth int) string {
		kind := rapid.IntRange(0, 5).Draw(t, "kind")
		if depth == 0 {
			kind = 0
		}
		var parts []string
		n := rapid.IntRange(0, 12).Draw(t, "members")
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
		want := repeatedByMaps(text)
		if got := repeatedKeys(text); !slices.Equal(got, want) {
			t.Fatalf("%s repeats %q, want %q", text, got, want)
		}
		if plainlyUnique(text) {
			plain++
		}
		if len(want) > 0 {
			repeated++
		}
	})
	if plain < 5 || repeated < 5 {
		t.Errorf("%d plain texts and %d with repetitions were drawn", plain, repeated)
	}
}
