package report

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// The second way to the same text: round as for JSON, and let strconv write it.
func TestDecimalWritesWhatStrconvWrites(t *testing.T) {
	for k, p := range powerOfTen {
		if p != math.Pow(10, float64(k)) {
			t.Errorf("10 to the %d is %g", k, p)
		}
	}
	check := func(t rapid.TB, v float64, decimals int) {
		want := strconv.FormatFloat(fixed(v, decimals), 'f', -1, 64)
		for _, got := range [][]byte{decimal(v, decimals).append(nil), appendFixed(nil, v, decimals)} {
			if string(got) != want {
				t.Errorf("%v with %d decimals is %q, want %q", v, decimals, got, want)
			}
		}
	}
	for _, v := range []float64{0, math.Copysign(0, -1), 0.4, -0.4, 0.0004999, -0.0005, 1, -1, 10, 100.5, -99.9996, 1e-7, 123456.7891, 9.5, 0.05,
		1e14, 1e15 - 1, 1e15, 123456789012345678, -1e300, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, 5e-324} {
		for decimals := range powerOfTen {
			check(t, v, decimals)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-200, 200), rapid.Float64Range(-1e9, 1e9)).Draw(t, "v")
		check(t, v, rapid.IntRange(0, len(powerOfTen)-1).Draw(t, "decimals"))
	})
}

// A row is what encoding/csv writes.
func TestFieldsAreQuotedAsByEncodingCSV(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.OneOf(rapid.String(),
			rapid.StringOf(rapid.SampledFrom([]rune{'a', ' ', ',', '"', '\n', '\r', '\\', '.', '\u00a0', 'é', '#'}))), 2, 4).Draw(t, "words")
		var got []byte
		for _, w := range words {
			got = append(appendField(got, word(w)), ',')
		}
		var want bytes.Buffer
		w := csv.NewWriter(&want)
		w.UseCRLF = true
		if err := w.Write(words); err != nil {
			t.Fatal(err)
		}
		w.Flush()
		if got := string(got[:len(got)-1]) + "\r\n"; got != want.String() {
			t.Errorf("%q is %q, want %q", words, got, want.String())
		}
	})
}

func TestWordsAreThoseOfEncodingJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[ -~]*`), rapid.StringMatching(`[a-z<>&\x00-\x7f]*`)).Draw(t, "text")
		if got, want := string(word(text).appendJSON([]byte("x:"))), "x:"+string(rawJSON(text)); got != want {
			t.Errorf("%q is %s, want %s", text, got, want)
		}
	})
}
