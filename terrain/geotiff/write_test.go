package geotiff

import (
	"bytes"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/polereach/polereach/terrain/fault"
)

// invented is an image of any size with random numbers, part of them without data, and these.
func invented(cols, rows int, wide bool) (Image, []int16) {
	rng := rand.New(rand.NewPCG(uint64(cols), uint64(rows)))
	value := make([]int16, cols*rows)
	low, high := 0, 254
	if wide {
		low, high = -32767, 32767
	}
	im := Image{Cols: cols, Rows: rows, WestDeg: 10.5, NorthDeg: 47.25, StepLonDeg: 1.0 / 1200, StepLatDeg: 1.0 / 3600,
		Wide: wide, NoData: 255, Unit: "m", Description: "of a test <&\"'>"}
	if wide {
		im.NoData = -32768
	}
	for i := range value {
		if value[i] = int16(low + rng.IntN(high-low+1)); rng.IntN(9) == 0 {
			value[i] = im.NoData
		}
	}
	im.Row = func(row, col int, out []int16) { copy(out, value[row*cols+col:]) }
	return im, value
}

// What is written, read by the reader of this package, which shares nothing with the writer: sizes
// below, at and above those of a tile.
func TestWrittenIsRead(t *testing.T) {
	for _, size := range [][2]int{{1, 1}, {255, 3}, {256, 256}, {257, 512}, {700, 300}} {
		for _, wide := range []bool{false, true} {
			im, want := invented(size[0], size[1], wide)
			var file bytes.Buffer
			if err := Write(&file, im); err != nil {
				t.Fatal(err)
			}
			r, err := Open(bytes.NewReader(file.Bytes()), int64(file.Len()))
			if err != nil {
				t.Fatalf("%v: %v", size, err)
			}
			if p := r.Place; r.Cols != im.Cols || r.Rows != im.Rows || !(math.Abs(p.WestDeg-10.5) < 1e-12) ||
				!(math.Abs(p.NorthDeg-47.25) < 1e-12) || p.StepLonDeg != im.StepLonDeg || p.StepLatDeg != im.StepLatDeg {
				t.Errorf("%v: %d by %d at %+v", size, r.Cols, r.Rows, p)
			}
			got := make([]float32, len(want))
			if err := r.Read(got, 0, 0, im.Cols, im.Rows); err != nil {
				t.Fatal(err)
			}
			for i, v := range want {
				void := got[i] != got[i]
				if void != (v == im.NoData) || !void && got[i] != float32(v) {
					t.Fatalf("%v, wide %v: pixel %d is %v, written %d", size, wide, i, got[i], v)
				}
			}
		}
	}
}

// The same bytes from any number of cores.
func TestWrittenByAnyNumberOfCores(t *testing.T) {
	im, _ := invented(900, 700, true)
	var one, many bytes.Buffer
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	err := Write(&one, im)
	runtime.GOMAXPROCS(5)
	if err = errors.Join(err, Write(&many, im)); err != nil || !bytes.Equal(one.Bytes(), many.Bytes()) {
		t.Errorf("%d and %d bytes, %v", one.Len(), many.Len(), err)
	}
}

func TestWriteRefuses(t *testing.T) {
	for name, change := range map[string]func(*Image){
		"no column":  func(im *Image) { im.Cols = 0 },
		"no numbers": func(im *Image) { im.Row = nil },
		"no place":   func(im *Image) { im.WestDeg = math.NaN() },
		"no step":    func(im *Image) { im.StepLatDeg = 0 },
		"endless":    func(im *Image) { im.Scale = math.Inf(1) },
	} {
		im, _ := invented(3, 3, false)
		change(&im)
		var b bytes.Buffer
		if err := Write(&b, im); !errors.Is(err, fault.ErrInput) || b.Len() > 0 {
			t.Errorf("%s: %v, %d bytes", name, err, b.Len())
		}
	}
	im, _ := invented(3, 3, false)
	if err := Write(full{}, im); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("a full disk: %v", err)
	}
	im.Row = func(int, int, []int16) { panic("of the caller") }
	var broken *fault.PanicError
	if err := Write(io.Discard, im); !errors.As(err, &broken) {
		t.Errorf("a panic of the caller: %v", err)
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

// The numbers of a coverage of a whole tile: mostly alike.
func BenchmarkWrite(b *testing.B) {
	im := Image{Cols: 3601, Rows: 3601, StepLonDeg: 1. / 3600, StepLatDeg: 1. / 3600}
	im.Row = func(row, col int, out []int16) {
		for i := range out {
			out[i] = int16(100 / (1 + (row-1800)*(row-1800)/9999 + (col+i-1800)*(col+i-1800)/9999))
		}
	}
	b.SetBytes(3601 * 3601)
	for b.Loop() {
		if err := Write(io.Discard, im); err != nil {
			b.Fatal(err)
		}
	}
}
