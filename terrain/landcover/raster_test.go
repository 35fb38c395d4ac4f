package landcover_test

import (
	"fmt"
	"math"
	"runtime"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/landcover"
	"github.com/polereach/polereach/terrain/madetiff"
)

// tiff is a raster of bytes as ESA WorldCover stores its: DEFLATE in inner tiles, a list of colours,
// overviews behind it, 0 for nothing known.
func tiff(t *testing.T, cols, rows int, value func(col, row int) float64) []terrain.Source {
	t.Helper()
	im := madetiff.Image{Cols: cols, Rows: rows, West: -84 + 1.0/24000, North: 36 - 1.0/24000, StepLon: 1.0 / 12000,
		StepLat: 1.0 / 12000, Kind: "Byte", Compression: 8, TileCols: 64, TileRows: 64, NoData: "0", Overviews: 2,
		Height: value,
		Change: func(tags map[uint16]madetiff.Tag) {
			tags[262], tags[320] = madetiff.Tag{Kind: 3, Value: []uint64{3}}, madetiff.Tag{Kind: 3, Value: make([]uint64,
				768)}
		}}
	fsys := fstest.MapFS{"a.tif": {Data: im.Bytes()}}
	if _, err := terrain.OpenSources(fsys, "a.tif"); err == nil || !strings.Contains(err.Error(), "colours") {
		t.Errorf("read as heights: %v", err)
	}
	sources, err := terrain.OpenCodes(fsys, "a.tif")
	if err != nil {
		t.Fatal(err)
	}
	return sources
}

func of(g *terrain.Grid) []terrain.Source {
	return []terrain.Source{{Name: "made", Lattice: g.Lattice, Load: func() (*terrain.Grid, error) { return g, nil }}}
}

func cell(col, row, u, v float64) orb.Point {
	return orb.Point{-84 + (col+u)/12000, 36 - (row+v)/12000}
}

// Every place of a cell has its class, up to the edge, and no other.
func TestNearestCell(t *testing.T) {
	list := []float64{10, 20, 30, 40, 50, 60, 70, 80, 90, 95, 100, 0}
	want := "wood open open open suburban open open water open wood open unknown"
	cover, err := landcover.New(tiff(t, 150, 130, func(col, row int) float64 { return list[(col+row)%12] }), nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	words := strings.Fields(want)
	n := 0
	for row := 0.0; row < 130; row += 3 {
		for col := 0.0; col < 150; col++ {
			for _, u := range []float64{0.01, 0.4, 0.5, 0.99} {
				var out [1]terrain.Standing
				if err := cover.Standing([]orb.Point{cell(col, row, u, 1-u)}, out[:]); err != nil {
					t.Fatal(err)
				}
				if w := words[int(col+row)%12]; out[0].Class.String() != w || out[0].HeightM != 0 {
					t.Fatalf("cell %v, %v at %v: %v, want %s", col, row, u, out[0], w)
				}
				n++
			}
		}
	}
	t.Logf("%d places", n)
	var out [1]terrain.Standing
	if err := cover.Standing([]orb.Point{cell(150, 5, 0.1, 0.5)}, out[:]); err != nil ||
		out[0].Class != terrain.CoverUnknown {
		t.Errorf("beside the raster: %v, %v", out[0], err)
	}
	// A turn of longitudes away it is the same place.
	at := cell(0, 0, 0.5, 0.5)
	at[0] += 360
	if err := cover.Standing([]orb.Point{at}, out[:]); err != nil || out[0].Class != terrain.CoverWood {
		t.Errorf("a turn away: %v, %v", out[0], err)
	}
}

func TestHeights(t *testing.T) {
	codes := tiff(t, 6, 1, func(col, _ int) float64 { return []float64{10, 10, 50, 30, 80, 0}[col] })
	heights := of(&terrain.Grid{Lattice: terrain.Lattice{WestDeg: -84 + 1.0/24000, NorthDeg: 36 - 1.0/24000,
		StepLonDeg: 1.0 / 12000, StepLatDeg: 1.0 / 12000, Cols: 6, Rows: 1}, HeightM: []float32{21.5, 1, 9, 12, 0,
		float32(math.NaN())}})
	at := make([]orb.Point, 6)
	for i := range at {
		at[i] = cell(float64(i), 0, 0.3, 0.7)
	}
	for _, row := range []struct {
		codes, heights []terrain.Source
		want           string
	}{
		{codes, heights, "[{wood 21.5} {open 0} {suburban 9} {wood 12} {water 0} {unknown 0}]"},
		{nil, heights, "[{wood 21.5} {open 0} {wood 9} {wood 12} {open 0} {unknown 0}]"},
		{codes, nil, "[{wood 0} {wood 0} {suburban 0} {open 0} {water 0} {unknown 0}]"},
	} {
		cover, err := landcover.New(row.codes, row.heights, 0)
		if err != nil {
			t.Fatal(err)
		}
		out := make([]terrain.Standing, len(at))
		if err := cover.Standing(at, out); err != nil || fmt.Sprint(out) != row.want {
			t.Errorf("%v, %v; want %s", out, err, row.want)
		}
	}
}

func TestRefused(t *testing.T) {
	grid := func(v float32) []terrain.Source {
		return of(&terrain.Grid{Lattice: terrain.Lattice{StepLonDeg: 1, StepLatDeg: 1, Cols: 1, Rows: 1},
			HeightM: []float32{v}})
	}
	for _, row := range []struct {
		codes, heights []terrain.Source
		want           string
	}{
		{grid(7), nil, "code 7 at [0 0], allowed 10 tree cover, 20 shrubland"},
		{grid(-3), nil, "code -3"}, {grid(255), nil, "code 255"}, {nil, grid(900), "900 m at [0 0], allowed up to 500 m"},
	} {
		cover, err := landcover.New(row.codes, row.heights, 0)
		if err == nil {
			err = cover.Standing([]orb.Point{{0, 0}}, make([]terrain.Standing, 1))
		}
		if err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%v, want %s", err, row.want)
		}
	}
	if _, err := landcover.New(nil, nil, 0); err == nil {
		t.Error("a cover of nothing")
	}
	two := append(grid(10), terrain.Source{Name: "b", Lattice: terrain.Lattice{WestDeg: 0.3, StepLonDeg: 1,
		StepLatDeg: 1,
		Cols:       2, Rows: 2}, Load: func() (*terrain.Grid, error) { return nil, nil }})
	if _, err := landcover.New(two, two, 0); err == nil || strings.Count(err.Error(), "gdalwarp") != 2 {
		t.Errorf("out of step: %v", err)
	}
	irregular, err := terrain.NewTiles(two, terrain.TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := landcover.Sources(irregular, "x"); err == nil || !strings.Contains(err.Error(), "-r near") {
		t.Errorf("out of step: %v", err)
	}
}

// With room for hardly any of it the same is told, from many goroutines; a DEM as sources tells the same.
func TestLittleMemory(t *testing.T) {
	value := func(col, row int) float64 { return []float64{10, 30, 50, 80}[(col/3+row/5)%4] }
	sources := tiff(t, 300, 200, value)
	tiles, err := terrain.NewTiles(sources, terrain.TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	again, err := landcover.Sources(tiles, "again")
	if err != nil {
		t.Fatal(err)
	}
	var parts []terrain.Source
	for row := 0; row < 200; row += 40 {
		for col := 0; col < 300; col += 60 {
			l := sources[0].Lattice
			corner := l.Post(col, row)
			l.WestDeg, l.NorthDeg, l.Cols, l.Rows = corner[0], corner[1], 60, 40
			parts = append(parts, terrain.Source{Name: "part", Lattice: l, Load: func() (*terrain.Grid, error) {
				g := &terrain.Grid{Lattice: l, HeightM: make([]float32, l.Cols*l.Rows)}
				for i := range g.HeightM {
					g.HeightM[i] = float32(value(col+i%60, row+i/60))
				}
				return g, nil
			}})
		}
	}
	want := map[float64]string{10: "wood", 30: "open", 50: "suburban", 80: "water"}
	for _, list := range [][]terrain.Source{sources, again, parts} {
		cover, err := landcover.New(list, nil, 3000)
		if err != nil {
			t.Fatal(err)
		}
		var group sync.WaitGroup
		for k := range 4 {
			group.Go(func() {
				var at []orb.Point
				for i := range 20000 {
					at = append(at, cell(float64(i*(k+3)%300), float64(i*7%200), 0.2, 0.9))
				}
				out := make([]terrain.Standing, len(at))
				if err := cover.Standing(at, out); err != nil {
					t.Error(err)
				}
				for i, s := range out {
					if w := want[value(i*(k+3)%300, i*7%200)]; s.Class.String() != w {
						t.Errorf("place %d: %v, want %s", i, s, w)
						return
					}
				}
			})
		}
		group.Wait()
	}
}

// A raster of the size and layout of a tile of three degrees at 10 m, 36,000 by 36,000 cells in inner
// tiles of 1,024, is read by the windows asked for: here all but a few inner tiles are left out.
func TestLargeTileInLittleMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("1.3 thousand million cells")
	}
	const side = 36000
	stored := map[int]bool{0: true, 17*36 + 20: true, 36*36 - 1: true}
	code := func(col, row int) float64 { return []float64{10, 50, 80, 40}[(col/100+row/70)%4] }
	im := madetiff.Image{Cols: side, Rows: side, West: -87 + 1.0/24000, North: 39 - 1.0/24000, StepLon: 1.0 / 12000,
		StepLat: 1.0 / 12000, Kind: "Byte", Compression: 8, TileCols: 1024, TileRows: 1024, NoData: "0", Height: code,
		Missing: func(block int) bool { return !stored[block] },
		Change: func(tags map[uint16]madetiff.Tag) {
			tags[262], tags[320] = madetiff.Tag{Kind: 3, Value: []uint64{3}}, madetiff.Tag{Kind: 3, Value: make([]uint64,
				768)}
		}}
	sources, err := terrain.OpenCodes(fstest.MapFS{"N36W087.tif": {Data: im.Bytes()}}, "N36W087.tif")
	if err != nil {
		t.Fatal(err)
	}
	cover, err := landcover.New(sources, nil, 4<<20)
	if err != nil {
		t.Fatal(err)
	}
	want := map[float64]string{10: "wood", 50: "suburban", 80: "water", 40: "open"}
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	for _, at := range [][2]int{{3, 5}, {1023, 1000}, {20*1024 + 7, 17*1024 + 900}, {35999, 35999}, {35900, 35841},
		{18000, 2}} {
		for try := range 40 { // and windows all over, to be let go again
			col, row := at[0], at[1]
			if try > 0 {
				col, row = (at[0]+try*1777)%side, (at[1]+try*5003)%side
			}
			var out [1]terrain.Standing
			place := orb.Point{-87 + (float64(col)+0.5)/12000, 39 - (float64(row)+0.5)/12000}
			if err := cover.Standing([]orb.Point{place}, out[:]); err != nil {
				t.Fatal(err)
			}
			w := "unknown"
			if stored[row/1024*36+col/1024] {
				w = want[code(col, row)]
			}
			if got := out[0].Class.String(); got != w {
				t.Fatalf("cell %d, %d: %s, want %s", col, row, got, w)
			}
		}
	}
	runtime.GC()
	runtime.ReadMemStats(&after)
	if grown := int64(after.HeapAlloc) - int64(before.HeapAlloc); grown > 8<<20 {
		t.Errorf("%d windows keep %d MiB, allowed 8", len(sources), grown>>20)
	}
	runtime.KeepAlive(cover)
}
