package attack

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"time"
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
		switch rng.IntN(3) {
		case 0: // another one of the same file
			from := all[rng.IntN(len(all))]
			value = slices.Clone(out[from[0]:from[1]])
		case 1: // other digits of the same number or word
			value = slices.Clone(out[at[0]:at[1]])
			for i, c := range value {
				if c >= '0' && c <= '9' && rng.IntN(2) == 0 {
					value[i] = byte('0' + rng.IntN(10))
				}
			}
		}
		out = slices.Concat(out[:at[0]], value, out[at[1]:])
	}
	return out
}

// weathers are a year of the same hour, as EPW and as PVGIS write it.
func weathers() (epw, pvgis []byte) {
	var a, b bytes.Buffer
	a.WriteString("LOCATION,A,B,C,D,1,36.5,-84.2,-5,300\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\n" +
		"GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,a\nCOMMENTS 2,b\n" +
		"DATA PERIODS,1,1,Data,Sunday,1/1,12/31\n")
	b.WriteString("Latitude (decimal degrees): 36.5\nLongitude (decimal degrees): -84.2\n" +
		"time(UTC),T2m,G(h),Gb(n),Gd(h)\n")
	for at := time.Date(2015, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == 2015; at = at.Add(time.Hour) {
		fmt.Fprintf(&a, "2015,%d,%d,%d,0,?,5.0,1.0,70,98000,0,0,300,100,50,60,0,0,0,0,90,2,5,5,9,9,0,9,9,0,0,0,0,0,0\n",
			at.Month(), at.Day(), at.Hour()+1)
		fmt.Fprintf(&b, "%s,5.0,100,50,50\n", at.Format("20060102:1504"))
	}
	return a.Bytes(), b.Bytes()
}
