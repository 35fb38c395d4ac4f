package coverage

import (
	"context"
	"math"
	"testing"

	"github.com/polereach/polereach/terrain"
)

// Every post stands where its column and row say, its mark too, whatever is left
// over at the ends of strips and rows, and in a window cut from a wider grid.
func TestTurn(t *testing.T) {
	for _, size := range [][2]int{{1, 1}, {5, 3}, {8, 8}, {64, 8}, {63, 17}, {65, 7}, {64, 9}, {200, 131}} {
		for _, beside := range []int{0, 13} {
			w := &window{Lattice: terrain.Lattice{Cols: size[0], Rows: size[1]}, stride: size[0] + beside}
			w.h = make([]float32, w.stride*w.Rows-beside) // the last row ends with the grid
			for i := range w.h {
				w.h[i] = float32(i)
			}
			w.h[len(w.h)-1] = outsideMark
			if err := w.turn(context.Background(), 3); err != nil {
				t.Fatal(err)
			}
			if len(w.turned) != w.Cols*w.Rows {
				t.Fatalf("%v: %d posts turned", size, len(w.turned))
			}
			for i, h := range w.turned {
				if want := w.h[i%w.Rows*w.stride+i/w.Rows]; math.Float32bits(h) != math.Float32bits(want) {
					t.Fatalf("%v of %d: column %d, row %d has %g, want %g", size, w.stride, i/w.Rows, i%w.Rows, h, want)
				}
			}
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	w := &window{Lattice: terrain.Lattice{Cols: 5, Rows: 5}, stride: 5, h: make([]float32, 25)}
	if err := w.turn(ctx, 1); err != context.Canceled {
		t.Errorf("cancelled: %v", err)
	}
}
