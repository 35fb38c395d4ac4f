package attack

import (
	"bytes"
	"math/rand/v2"
	"regexp"
	"slices"
)

// token is a number, a word in quotes or a word of JSON.
var token = regexp.MustCompile(`"(?:[^"\\\n]|\\.)*"|-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?|true|false|null`)

// instead are values that stand for no quantity, or for one at its edge.
var instead = []string{
	"null", "0", "-0", "-1", "1e308", "-1e308", "1e-320", "1e999", "NaN", "Infinity", "\"\"", "[]", "{}", "true", "180", "-180",
	"90", "-90", "90.0000001", "0x10", "007", "1e", "--1", "4294967296", "9223372036854775808", "\"NaN\"", "\"\\u0000\"",
	"\"\\u001b[2J\"", "\"\\u202ex\"", "\"=1+1\"", "\"\xff\"", "[[[]]]", "0.1", "1.7976931348623157e308", "299.9999", "300.1",
}

// bend changes tokens of a text that is read otherwise, or its bytes.
func bend(rng *rand.Rand, text []byte) []byte {
	out := slices.Clone(text)
	for range 1 + rng.IntN(3) {
		if rng.IntN(4) == 0 || !bytes.ContainsAny(text[:min(len(text), 1)], "{dnL") {
			out, _ = hurt(rng, out)
			continue
		}
		all := token.FindAllIndex(out, -1)
		if len(all) == 0 {
			continue
		}
		at := all[rng.IntN(len(all))]
		value := []byte(instead[rng.IntN(len(instead))])
		if rng.IntN(3) == 0 { // another one of the same file
			from := all[rng.IntN(len(all))]
			value = slices.Clone(out[from[0]:from[1]])
		}
		out = slices.Concat(out[:at[0]], value, out[at[1]:])
	}
	return out
}
