package terrain

import (
	"bytes"
	"compress/flate"
	"io"
	"testing"

	"pgregory.net/rapid"
)

// packable are bytes with much, little or nothing to pack: walks such as heights
// are, words that come again, and noise.
func packable(t *rapid.T) []byte {
	seed := rapid.SliceOfN(rapid.Byte(), 1, 300).Draw(t, "seed")
	size := rapid.OneOf(rapid.IntRange(0, 600), rapid.IntRange(0, 200_000)).Draw(t, "size")
	kind := rapid.IntRange(0, 3).Draw(t, "kind")
	out, state := make([]byte, size), uint32(seed[0])+1
	for i := range out {
		state = state*1664525 + 1013904223 // Numerical Recipes, from memory
		switch kind {
		case 0:
			out[i] = seed[i%len(seed)]
		case 1:
			out[i] = byte(state >> 24)
		case 2:
			out[i] = byte(i>>7) + byte(state>>30)
		case 3: // geometric: codes up to the longest
			for k := state; k&0x800 != 0 && out[i] < 40; k <<= 1 {
				out[i]++
			}
		}
	}
	return out
}

func packed(t rapid.TB, data []byte, level int) []byte {
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, level)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(data); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// What compress/flate packed, at every level (0 stored, -2 without matches).
func TestInflateUnpacksWhatFlatePacked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := packable(t)
		in := packed(t, data, rapid.IntRange(-2, 9).Draw(t, "level"))
		out := make([]byte, len(data))
		if !inflate(out, in) || !bytes.Equal(out, data) {
			t.Fatalf("%d bytes do not come back", len(data))
		}
		if len(data) > 0 && inflate(out[1:], in) {
			t.Error("fits into less")
		}
		if inflate(make([]byte, len(data)+1), in) {
			t.Error("fills more")
		}
		if inflate(out, in[:rapid.IntRange(0, len(in)-1).Draw(t, "cut")]) {
			t.Error("a cut stream is sound")
		}
	})
}

// Of a damaged stream nothing is taken that compress/flate takes otherwise.
func FuzzInflate(f *testing.F) {
	for level := -2; level <= 9; level++ {
		f.Add(packed(f, bytes.Repeat([]byte("ground at the poles "), 200), level), 4000)
	}
	f.Add([]byte{0x4b, 0x4c, 0x04, 0}, 1) // fixed codes
	f.Fuzz(func(t *testing.T, in []byte, size int) {
		if size < 0 || size > 1<<20 {
			return
		}
		out := make([]byte, size)
		if !inflate(out, in) {
			return
		}
		want, err := io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(in)), int64(size)+1))
		if err != nil || !bytes.Equal(out, want) {
			t.Errorf("took %d bytes for a stream that gives %d, %v", size, len(want), err)
		}
	})
}
