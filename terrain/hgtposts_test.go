package terrain

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"math/rand"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

// Every value that two bytes can have, taken apart by hand: the posts of the fast
// loop and of its rest.
func TestSetPosts(t *testing.T) {
	for from := math.MinInt16; from <= math.MaxInt16; from += 7 {
		var raw []byte
		for v := from; v < from+7; v++ {
			raw = append(raw, byte(int16(v)>>8), byte(v))
		}
		got := make([]float32, 7)
		setPosts(got, raw)
		for i, h := range got {
			v := int16(from + i)
			if want := v < -500 || v > 9000; IsVoid(h) != want || !want && h != float32(v) {
				t.Errorf("% x was read as %g, want %d, void %v", raw[2*i:2*i+2], h, v, want)
			}
		}
	}
}

// forwards is a file that can only be read from front to back.
type forwards struct{ fs.File }

// A file read in pieces gives the bits that reading it from front to back gives.
func TestPiecesAreTheStream(t *testing.T) {
	for _, posts := range []int{postsSRTM3, postsSRTM1} {
		raw := make([]byte, 2*posts*posts)
		rand.New(rand.NewSource(1)).Read(raw)
		for i := 0; i < len(raw); i += 2 {
			if raw[i] >= 36 && raw[i] != 0xfe { // most heights shall be ground
				raw[i] %= 36
			}
		}
		fsys := fstest.MapFS{"N10E010.hgt": {Data: raw}}
		l, err := corner{10, 10}.lattice(int64(len(raw)))
		if err != nil {
			t.Fatal(err)
		}
		var grids [2]*Grid
		for i, wrap := range []func(fs.File) fs.File{
			func(f fs.File) fs.File { return f },
			func(f fs.File) fs.File { return forwards{f} },
		} {
			f, err := fsys.Open("N10E010.hgt")
			if err != nil {
				t.Fatal(err)
			}
			f = wrap(f)
			if _, at := f.(io.ReaderAt); at != (i == 0) {
				t.Fatalf("reader %d: at offsets %v", i, at)
			}
			if grids[i], err = loadHGT(f, l); err != nil {
				t.Fatal(err)
			}
		}
		if !slices.EqualFunc(grids[0].HeightM, grids[1].HeightM,
			func(a, b float32) bool { return math.Float32bits(a) == math.Float32bits(b) }) {
			t.Errorf("%d posts a side: pieces and stream differ", posts)
		}
	}
}

// A file cut short anywhere tells how much there was, however many pieces find it
// short; and the same way as the stream.
func TestPiecesOfAShortFile(t *testing.T) {
	whole := flatHGT(5)
	l, err := corner{10, 10}.lattice(int64(len(whole)))
	if err != nil {
		t.Fatal(err)
	}
	piece := rowsPerPiece * 2 * postsSRTM3
	for _, n := range []int{0, 1, 2402, piece - 1, piece, piece + 1, 20*piece + 5000, len(whole) - 1, len(whole) + 1} {
		data := append(slices.Clip(whole), 0, 0)[:n]
		_, atErr := readHGTAt(bytes.NewReader(data), l)
		_, err := readHGT(bytes.NewReader(data), l)
		want := fmt.Sprintf("after %d of %d bytes: unexpected EOF", n, len(whole))
		if n > len(whole) {
			want = fmt.Sprintf("more than the %d bytes", len(whole))
		}
		if atErr == nil || !strings.Contains(atErr.Error(), want) {
			t.Errorf("%d bytes: %v, want %s", n, atErr, want)
		}
		if err == nil || atErr == nil || err.Error() != atErr.Error() {
			t.Errorf("%d bytes: stream %v, pieces %v", n, err, atErr)
		}
	}
}

// burning fails from an offset on.
type burning struct {
	from int64
	err  error
}

func (b burning) ReadAt(p []byte, off int64) (int, error) {
	n := max(0, min(b.from-off, int64(len(p))))
	clear(p[:n])
	if int(n) < len(p) {
		return int(n), b.err
	}
	return int(n), nil
}

// The file's own error is passed on, with the place of the first piece it hit.
func TestPiecesReadError(t *testing.T) {
	broken := errors.New("the disk is on fire")
	l, err := corner{10, 10}.lattice(bytesSRTM3)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int64{0, 7000, 999999, bytesSRTM3} {
		for range 20 { // whoever comes first
			_, err := readHGTAt(burning{n, broken}, l)
			if !errors.Is(err, broken) || !strings.HasPrefix(err.Error(), fmt.Sprintf("after %d of ", n)) && n < bytesSRTM3 {
				t.Fatalf("after %d bytes: error %v, want the reader's own", n, err)
			}
		}
	}
}
