package plan

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"
)

func TestVisible(t *testing.T) {
	for text, want := range map[string]string{
		"Crête 90 °\n\tµ": "Crête 90 °\n\tµ",
		"a\x1b[2Jb\x07":   "a<U+001B>[2Jb<U+0007>",
		"A\u202eB":        "A<U+202E>B",
		"Ash\u200b":       "Ash<U+200B>",
		"x\x9b31m":        "x<9B>31m",
		"x\u009b":         "x<U+009B>",
		"one\rtwo\u2028":  "one<U+000D>two<U+2028>",
		"\uFFFD":          "\uFFFD",
	} {
		if got := Visible(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// Escaped, a JSON text says the same and holds nothing that a terminal would obey; twice is
// once.
func TestEscapedSaysTheSame(t *testing.T) {
	odd := []string{"\x1b", "\x7f", "\u009b", "\u200b", "\u202e", "\u2066", "\u00ad", "\ufeff", "\u2028", "\U000e0041", "é",
		"語", "😀", "\n", `"`, `\`, "plain ", "a"}
	rapid.Check(t, func(t *rapid.T) {
		word := strings.Join(rapid.SliceOf(rapid.SampledFrom(odd)).Draw(t, "word"), "")
		text, err := json.Marshal(map[string]string{word: word})
		if err != nil {
			t.Fatal(err)
		}
		got := Escaped(text)
		var back map[string]string
		if err := json.Unmarshal(got, &back); err != nil || len(back) != 1 || back[word] != word {
			t.Fatalf("%q: %s, %q, error %v", word, got, back, err)
		}
		for _, r := range string(got) {
			if unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp) {
				t.Fatalf("%q: %q holds %U", word, got, r)
			}
		}
		if again := Escaped(got); string(again) != string(got) {
			t.Fatalf("%q, again %q", got, again)
		}
	})
	for text, want := range map[string]string{
		"{\"é\u202e\":1}": "{\"é\\u202e\":1}", "\"\U000e0041\"": `"\udb40\udc41"`, "\"\x7f\"": `"\u007f"`,
		"[\n\t1]": "[\n\t1]", "\"12345678\u200bx\"": `"12345678\u200bx"`,
	} {
		if got := string(Escaped([]byte(text))); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
