package terrain

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// noLoad is for tests that never get as far as reading.
func noLoad() (*Grid, error) { return nil, fmt.Errorf("not to be read") }

// Thousands of tiles of any size: a look-up sees a handful of them.
func TestTileIndexLooksAtFewTiles(t *testing.T) {
	for _, tc := range []struct {
		name    string
		sizeDeg float64
		cols    int
	}{{"1° tiles", 1, 72}, {"1 km tiles", 0.01, 72}, {"5° tiles", 5, 72}} {
		var sources []Source
		for i := range 36 * tc.cols {
			sources = append(sources, Source{Name: fmt.Sprint(i), Load: noLoad, Lattice: Lattice{
				WestDeg: -180 + tc.sizeDeg*float64(i%tc.cols), NorthDeg: 90 - tc.sizeDeg*float64(i/tc.cols),
				StepLonDeg: tc.sizeDeg / 100, StepLatDeg: tc.sizeDeg / 100, Cols: 101, Rows: 101,
			}})
		}
		// One that spans them all, as coarse terrain for the rest of the world does.
		sources = append(sources, Source{Name: "world", Load: noLoad, Lattice: Lattice{-180, 90, 0.5, 0.5, 721, 361}})
		tiles, err := NewTiles(sources, TilesOptions{})
		if err != nil {
			t.Fatal(err)
		}
		longest := 0
		for _, list := range tiles.index.cells {
			longest = max(longest, len(list))
		}
		if longest+len(tiles.index.wide) > 17 {
			t.Errorf("%s: a look-up sees %d tiles", tc.name, longest+len(tiles.index.wide))
		}
		for i, s := range sources {
			l := s.Lattice
			if k, inside := tiles.next(l.Post(l.Cols/2, l.Rows/2), 0); i < len(sources)-1 && (k != i || !inside) {
				t.Fatalf("%s: the middle of tile %d is found in %d", tc.name, i, k)
			}
		}
	}
}

// The index must find what a search through all tiles finds.
func TestTileIndexLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var sources []Source
		for i := range rapid.IntRange(1, 12).Draw(t, "tiles") {
			step := math.Exp(rapid.Float64Range(-8, 1).Draw(t, "log step"))
			cols := rapid.IntRange(1, int(min(359/step, 3000))+1).Draw(t, "cols")
			rows := rapid.IntRange(1, int(min(179/step, 3000))+1).Draw(t, "rows")
			sources = append(sources, Source{Name: fmt.Sprint(i), Load: noLoad, Lattice: Lattice{
				WestDeg:    rapid.Float64Range(-360, 360).Draw(t, "west"),
				NorthDeg:   rapid.Float64Range(-90+float64(rows-1)*step, 90).Draw(t, "north"),
				StepLonDeg: step, StepLatDeg: step, Cols: cols, Rows: rows,
			}})
		}
		tiles, err := NewTiles(sources, TilesOptions{})
		if err != nil {
			t.Fatal(err)
		}
		for k, s := range sources {
			l := s.Lattice
			p := l.Post(rapid.IntRange(0, l.Cols-1).Draw(t, "col"), rapid.IntRange(0, l.Rows-1).Draw(t, "row"))
			for _, turn := range []float64{-360, 0, 360} {
				at := orb.Point{p[0] + turn, p[1]}
				found := false
				for got, from := 0, 0; ; from = got + 1 {
					if got, _ = tiles.next(at, from); got < 0 || got == k {
						found = got == k
						break
					}
				}
				if !found {
					t.Fatalf("%v, a post of tile %d, is not found in it", at, k)
				}
			}
		}
	})
}

// The last longitude before the turn closes must not be rounded into a column
// that does not exist.
func TestTileIndexColumns(t *testing.T) {
	last := math.Nextafter(360, 0) - 180
	for columns := 36; columns < 5000; columns++ {
		x := tileIndex{cellDeg: 360 / float64(columns), columns: columns}
		for _, lon := range []float64{-180, -1e-300, 0, last, 180, 540} {
			if cell := x.cellOf(orb.Point{lon, -90}); cell < 0 || cell >= columns {
				t.Fatalf("%d columns: %g° is in column %d", columns, lon, cell)
			}
		}
	}
}

func TestAreaMeets(t *testing.T) {
	a := area{west: 10, east: 20, south: 0, north: 5}
	for _, tc := range []struct {
		name string
		b    area
		want bool
	}{
		{"inside", area{12, 13, 1, 2}, true},
		{"around", area{0, 30, -5, 10}, true},
		{"east edge", area{20, 30, 0, 5}, true},
		{"east of it", area{20.1, 30, 0, 5}, false},
		{"west edge, a turn on", area{360, 370, 0, 5}, true},
		{"west of it, a turn on", area{360, 369.9, 0, 5}, false},
		{"a turn back", area{-348, -347, 1, 2}, true},
		{"north of it", area{12, 13, 5.1, 6}, false},
		{"south of it", area{12, 13, -3, -0.1}, false},
		{"empty", area{13, 12, 1, 2}, false},
	} {
		if a.meets(tc.b) != tc.want || tc.b.meets(a) != tc.want {
			t.Errorf("%s: %v and %v, want %v", tc.name, a.meets(tc.b), tc.b.meets(a), tc.want)
		}
	}
}
