package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/plan"
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
		if got := string(appendFixed([]byte("x"), v, decimals)); got != "x"+want {
			t.Errorf("%v with %d decimals is %q, want x and %q", v, decimals, got, want)
		}
	}
	for _, v := range []float64{0, math.Copysign(0, -1), 0.4, -0.4, 0.0004999, -0.0005, 1, -1, 10, 100.5, -99.9996, 1e-7,
		123456.7891, 9.5, 0.05,
		1e14, 1e15 - 1, 1e15, 123456789012345678, -1e300, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, 5e-324} {
		for decimals := range 8 {
			check(t, v, decimals)
		}
	}
	for n := range 100_000 { // halves, and the numbers before and after
		for _, v := range []float64{float64(n) + 0.5, -float64(n)/1024 - 0.5/1024} {
			for _, v := range []float64{v, math.Nextafter(v, 0), math.Nextafter(v, 2*v)} {
				check(t, v, n%5)
			}
		}
	}
	for n := range 2_000_000 { // every group of three digits, each with every end
		v := float64(n) / 1000
		if n%2 == 1 {
			v = -v
		}
		check(t, v, 3)
		check(t, v/10, 4)
	}
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-200, 200), rapid.Float64Range(-1e9, 1e9),
			rapid.Float64Range(-2e14, 2e14)).Draw(t, "v")
		check(t, v, rapid.IntRange(0, 7).Draw(t, "decimals"))
	})
}

// No text of a table is taken for a formula, whichever it is, and no other is changed.
func TestCellsAreNoFormulas(t *testing.T) {
	for text, want := range map[string]string{
		"=1+1": "'=1+1", "+1": "'+1", "-5": "'-5", "@SUM(A1)": "'@SUM(A1)", "\t=1": "'\t=1", "\r=1": "'<U+000D>=1",
		"\n=1": "'\n=1", " =1": "' =1", "＝1": "'＝1", "－1": "'－1", "\u202e=1": "<U+202E>=1",
		"": "", "Ash": "Ash", "a=b": "a=b", "'=1": "'=1", "Crête -3": "Crête -3", "x\x1b[31m": "x<U+001B>[31m",
	} {
		if got := cellText(text); got != want {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
		rows, err := csv.NewReader(bytes.NewReader(append(appendField(nil, text), ",x\n"...))).ReadAll()
		if err != nil || rows[0][0] != want {
			t.Errorf("%q is read as %q, want %q, error %v", text, rows, want, err)
		}
	}
}

// A row is what encoding/csv writes.
func TestFieldsAreQuotedAsByEncodingCSV(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.OneOf(rapid.String(),
			rapid.StringOf(rapid.SampledFrom([]rune{'a', ' ', ',', '"', '\n', '\r', '\\', '.', '\u00a0', 'é', '#'}))), 2,
			4).Draw(t, "words")
		var got []byte
		for i, w := range words {
			got = append(appendField(got, w), ',')
			words[i] = cellText(w)
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
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[ -~]*`),
			rapid.StringMatching(`[a-z<>&\x00-\x7f]*`)).Draw(t, "text")
		var whole bytes.Buffer
		enc := json.NewEncoder(&whole)
		enc.SetEscapeHTML(false)
		if err := enc.Encode(text); err != nil {
			t.Fatal(err)
		}
		if got, want := string(appendText([]byte("x:"), text))+"\n", "x:"+string(plan.Escaped(whole.Bytes())); got != want {
			t.Errorf("%q is %s, want %s", text, got, want)
		}
	})
}
