package landcover_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/landcover"
)

// The posts of a lattice have what place by place is told of them: rasters of bytes and of other numbers, one
// over the other, kept in memory and not, beside and beyond their edges and across the date line.
func TestStandingOnIsStanding(t *testing.T) {
	codes := []float64{10, 50, 80, 0, 40, 95, 60}
	value := func(col, row int) float64 { return codes[(col*7+row*3+col*row/11)%len(codes)] }
	bytes := tiff(t, 150, 130, value)
	grid := func(col, row, cols, rows int, height func(i int) float32) terrain.Source {
		l := bytes[0].Lattice
		corner := l.Post(col, row)
		l.WestDeg, l.NorthDeg, l.Cols, l.Rows = corner[0], corner[1], cols, rows
		g := &terrain.Grid{Lattice: l, HeightM: make([]float32, cols*rows)}
		for i := range g.HeightM {
			g.HeightM[i] = height(i)
		}
		return terrain.Source{Name: "grid", Lattice: l, Load: func() (*terrain.Grid, error) { return g, nil }}
	}
	over := grid(60, 40, 120, 60, func(i int) float32 { return float32(codes[i*i%len(codes)]) })
	heights := grid(-20, -10, 130, 90, func(i int) float32 { return float32(i*i%23) - 1 })
	more := grid(50, 30, 70, 90, func(i int) float32 { return float32(i % 31) })
	east := terrain.Source{Name: "line", Lattice: terrain.Lattice{WestDeg: 179.5, NorthDeg: 36, StepLonDeg: 0.1,
		StepLatDeg: 0.1, Cols: 10, Rows: 10}}
	east.Load = func() (*terrain.Grid, error) {
		g := &terrain.Grid{Lattice: east.Lattice, HeightM: make([]float32, 100)}
		for i := range g.HeightM {
			g.HeightM[i] = float32(10 * (1 + i%5))
		}
		return g, nil
	}
	world := terrain.Source{Name: "world", Lattice: terrain.Lattice{WestDeg: -180, NorthDeg: 36, StepLonDeg: 1,
		StepLatDeg: 1, Cols: 360, Rows: 1}}
	world.Load = func() (*terrain.Grid, error) {
		g := &terrain.Grid{Lattice: world.Lattice, HeightM: make([]float32, 360)}
		for i := range g.HeightM {
			g.HeightM[i] = float32(10 * (1 + i%5))
		}
		return g, nil
	}
	outlines := outlinesAround(rand.New(rand.NewPCG(8, 8)), 150, orb.Point{-84.1, 35.9})
	near := terrain.Lattice{WestDeg: -84.0013, NorthDeg: 36.0011, StepLonDeg: 1.0 / 5000, StepLatDeg: 1.0 / 7100, Cols: 83,
		Rows: 110}
	for name, row := range map[string]struct {
		codes, heights []terrain.Source
		on             terrain.Lattice
		drawn          []landcover.Outline
	}{
		"bytes":   {bytes, nil, near, nil},
		"overlap": {[]terrain.Source{bytes[0], over}, nil, near, nil},
		"heights": {nil, []terrain.Source{more, heights}, near, nil},
		"both":    {[]terrain.Source{over, bytes[0]}, []terrain.Source{heights, more}, near, nil},
		"date line": {[]terrain.Source{east}, nil, terrain.Lattice{WestDeg: -180.61, NorthDeg: 35.9, StepLonDeg: 0.03,
			StepLatDeg: 0.07, Cols: 50, Rows: 13}, nil},
		"world": {[]terrain.Source{world}, nil, terrain.Lattice{WestDeg: -60, NorthDeg: 36, StepLonDeg: 2, StepLatDeg: 1,
			Cols: 179, Rows: 1}, nil},
		"one post": {bytes, nil, terrain.Lattice{WestDeg: -83.995, NorthDeg: 35.996, StepLonDeg: 1, StepLatDeg: 1, Cols: 1,
			Rows: 1}, nil},
		"drawn":       {bytes, nil, near, outlines},
		"drawn alone": {nil, nil, near, outlines},
	} {
		for _, kept := range []bool{false, true} {
			cover, err := terrain.Cover(nil), error(nil)
			if row.codes != nil || row.heights != nil {
				cover, err = landcover.New(row.codes, row.heights, 0)
			}
			if err == nil && row.drawn != nil {
				cover, err = landcover.Drawn(row.drawn, cover)
			}
			if err != nil {
				t.Fatal(err)
			}
			at := make([]orb.Point, 0, row.on.Cols*row.on.Rows)
			for i := range row.on.Cols * row.on.Rows {
				at = append(at, row.on.Post(i%row.on.Cols, i/row.on.Cols))
			}
			want := make([]terrain.Standing, len(at))
			look := func() {
				if err := cover.Standing(at, want); err != nil {
					t.Fatal(err)
				}
			}
			if kept {
				look()
			}
			var one sync.Mutex
			kinds := []terrain.Standing{{Class: 77}}
			stride := row.on.Cols + 3
			out := make([]uint16, stride*(row.on.Rows-1)+row.on.Cols)
			err = cover.(terrain.LatticeCover).StandingOn(context.Background(), row.on, stride,
				func(s terrain.Standing) uint16 {
					one.Lock()
					defer one.Unlock()
					kinds = append(kinds, s)
					return uint16(len(kinds) - 1)
				}, out)
			if err != nil {
				t.Fatal(err)
			}
			look()
			known := 0
			for i, w := range want {
				got := kinds[out[i/row.on.Cols*stride+i%row.on.Cols]]
				if got != w {
					t.Fatalf("%s, kept %v: post %d at %v: %v, want %v", name, kept, i, at[i], got, w)
				}
				if w.Class != terrain.CoverUnknown {
					known++
				}
			}
			if known*3 < len(want) {
				t.Errorf("%s: only %d of %d posts known", name, known, len(want))
			}
		}
	}
}

// What a single place cannot be told is an error of the lattice too, and so is too little room.
func TestStandingOnRefused(t *testing.T) {
	bad := tiff(t, 64, 64, func(col, _ int) float64 { return float64(10 + col/63*7) })
	cover, err := landcover.New(bad, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	lattice := bad[0].Lattice
	number := func(terrain.Standing) uint16 { return 0 }
	ask := cover.(terrain.LatticeCover).StandingOn
	if err := ask(context.Background(), lattice, 64, number, make([]uint16, 64*64)); err == nil ||
		!strings.Contains(err.Error(), "code 17 at") {
		t.Error(err)
	}
	if err := ask(context.Background(), lattice, 64, number, make([]uint16, 64*63)); err == nil ||
		!strings.Contains(err.Error(), "room for 4032") {
		t.Error(err)
	}
	ended, end := context.WithCancel(context.Background())
	end()
	if err := ask(ended, lattice, 64, number, make([]uint16, 64*64)); err != context.Canceled {
		t.Error(err)
	}
}

// The windows that many lattices ask for are read twice, and told alike each time; a cell that is none and that no
// post has is never refused.
func TestStandingOnAgain(t *testing.T) {
	for name, value := range map[string]func(col, row int) float64{
		"sound": func(col, row int) float64 { return float64(10 * (1 + (col*3+row)%6)) },
		"bad":   func(col, row int) float64 { return float64(10*(1+(col*3+row)%6) + col/63*7) },
	} {
		sources, loads := tiff(t, 64, 64, value), 0
		load := sources[0].LoadBytes
		sources[0].LoadBytes = func(col, row, cols, rows int) ([]uint8, int, error) {
			loads++
			return load(col, row, cols, rows)
		}
		cover, err := landcover.New(sources, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		on := sources[0].Lattice
		on.Cols, on.Rows = 50, 40
		var first []uint16
		for n := range 5 {
			out := make([]uint16, on.Cols*on.Rows)
			err := cover.(terrain.LatticeCover).StandingOn(context.Background(), on, on.Cols,
				func(s terrain.Standing) uint16 { return uint16(s.Class) }, out)
			if err != nil {
				t.Fatalf("%s, time %d: %v", name, n, err)
			}
			if n == 0 {
				first = out
			} else if !slices.Equal(out, first) {
				t.Errorf("%s, time %d: others than before", name, n)
			}
		}
		if loads != 2 && name == "sound" {
			t.Errorf("read %d times", loads)
		}
	}
}
