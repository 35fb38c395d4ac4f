package terrain

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"

	"pgregory.net/rapid"
)

func TestASCIINumber(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, tc := range []struct {
		word string
		want float64
		ok   bool
	}{
		{"0", 0, true}, {"-0", 0, true}, {"+7", 7, true}, {"12.5", 12.5, true}, {".5", 0.5, true}, {"5.", 5, true},
		{"1e3", 1000, true}, {"1.5E+02", 150, true}, {"-25e-1", -2.5, true}, {"00042", 42, true},
		{"-3.4028234663852886e+38", -math.MaxFloat32, true},
		{"123456789012345678901234567890", 123456789012345678901234567890, true},
		{"1e999", inf, true}, {"-1e999", -inf, true},
		{"nan", nan, true}, {"NaN", nan, true}, {"-nan", nan, true}, {"inf", inf, true}, {"-INF", -inf, true}, {"Infinity", inf, true},
		{"", 0, false}, {"-", 0, false}, {".", 0, false}, {"e5", 0, false}, {"1e", 0, false}, {"1-2", 0, false},
		{"0x10", 0, false}, {"1_000", 0, false}, {"1,5", 0, false}, {"12a", 0, false}, {"--1", 0, false}, {"nano", 0, false},
		{strings.Repeat("1", maxWord), 0, false},
	} {
		got, ok := asciiNumber(tc.word)
		same := got == tc.want || math.IsNaN(got) && math.IsNaN(tc.want)
		if ok != tc.ok || ok && !same {
			t.Errorf("asciiNumber(%q) = %g, %v; want %g, %v", tc.word, got, ok, tc.want, tc.ok)
		}
	}
}

// The one-pass reader and strconv agree to the last bit, wherever the ends of
// the buffer fall and however little the file gives at a time.
func TestScannerNumbersAgreeWithStrconv(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.OneOf(
			rapid.StringMatching(`[-+]?[0-9]{1,17}`),
			rapid.StringMatching(`[-+]?[0-9]{0,9}\.[0-9]{1,9}`),
			rapid.StringMatching(`[-+]?[0-9]{1,4}\.?[0-9]{0,3}[eE][-+]?[0-9]{1,2}`),
		), 1, 300).Draw(t, "words")
		gap := rapid.SampledFrom([]string{" ", "\n", "\r\n", "\t \v\f"}).Draw(t, "gap")
		size := rapid.IntRange(maxWord+1, maxWord+60).Draw(t, "buffer")
		s := newASCIIScanner(iotest.OneByteReader(strings.NewReader(strings.Join(words, gap))), size)
		for _, word := range words {
			if !s.skip() {
				t.Fatalf("ends before %q", word)
			}
			got, err := s.number()
			if err != nil {
				t.Fatal(err)
			}
			want, err := strconv.ParseFloat(word, 64)
			if err != nil || got != want {
				t.Fatalf("%q was read as %v, want %v (%v)", word, got, want, err)
			}
		}
		if s.skip() {
			t.Fatalf("%q is left", s.peek())
		}
	})
}

func TestScannerPlaces(t *testing.T) {
	// By hand: b is the third character of line 1, c follows a CRLF, d stands
	// behind an empty line and a tab.
	s := newASCIIScanner(strings.NewReader("a b\r\nc\n\n\td"), maxWord+1)
	for _, want := range []struct{ word, place string }{
		{"a", "line 1, column 1"}, {"b", "line 1, column 3"}, {"c", "line 2, column 1"}, {"d", "line 4, column 2"},
	} {
		if !s.skip() || string(s.peek()) != want.word || s.place() != want.place {
			t.Fatalf("%q at %s, want %q at %s", s.peek(), s.place(), want.word, want.place)
		}
		s.pos += len(want.word)
	}
	// The same far behind the buffer, and behind a byte order mark.
	s = newASCIIScanner(strings.NewReader("\xef\xbb\xbfx"+strings.Repeat(" 1\n", 1000)+" oops"), maxWord+1)
	if !s.skip() || s.place() != "line 1, column 1" {
		t.Errorf("behind the mark: %s, want line 1, column 1", s.place())
	}
	s.pos++
	for range 1000 {
		if !s.skip() {
			t.Fatal("ends early")
		}
		if _, err := s.number(); err != nil {
			t.Fatal(err)
		}
	}
	s.skip()
	_, err := s.number()
	wantError(t, "far behind", err, "line 1001, column 2", `"oops" is not a number`)
}

func TestScannerLongWord(t *testing.T) {
	s := newASCIIScanner(strings.NewReader(strings.Repeat("9", 1<<20)), maxWord+1)
	s.skip()
	_, err := s.number()
	wantError(t, "a megabyte of digits", err, "line 1, column 1", "is not a number")
	if len(err.Error()) > 200 {
		t.Errorf("the message has %d bytes", len(err.Error()))
	}
}
