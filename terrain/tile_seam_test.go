package terrain

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// Cell centres round the whole earth leave one step open where the turn closes;
// the whole is the same grid with its first column repeated as its last.
func TestTilesCloseTheTurn(t *testing.T) {
	const step = 2.5
	whole := filledGrid(Lattice{WestDeg: -178.75, NorthDeg: 88.75, StepLonDeg: step, StepLatDeg: step, Cols: 145,
		Rows: 72}, rough)
	for row := range whole.Rows {
		whole.HeightM[row*145+144] = whole.HeightM[row*145]
	}
	all := orb.Bound{Min: orb.Point{-180, -90}, Max: orb.Point{180, 90}}
	rapid.Check(t, func(t *rapid.T) {
		at := drawPlaces(t, all, step/2)
		for i := range at {
			at[i][1] = min(90, max(-90, at[i][1]))
		}
		wantSame(t, tilesOf(t, cut(whole, 0, 0, 144, 72)), whole, at)
		wantSame(t, tilesOf(t, cut(whole, 0, 0, 70, 72), cut(whole, 70, 0, 74, 72)), whole, at)
		wantSame(t, tilesOf(t, whole), whole, at)
	})
}

// Lattices that do not continue each other are not joined.
func TestTilesDoNotJoinWhatDoesNotFit(t *testing.T) {
	left := Lattice{WestDeg: 0, NorthDeg: 10, StepLonDeg: 1, StepLatDeg: 1, Cols: 3, Rows: 3} // 0..2 E
	gap := orb.Point{2.5, 9}
	for _, tc := range []struct {
		name  string
		right Lattice
		want  Flag
	}{
		{"fits", Lattice{3, 10, 1, 1, 3, 3}, Ground},
		{"fits within a rounding", Lattice{3 + 1e-6, 10 - 1e-6, 1 + 1e-6, 1, 3, 3}, Ground},
		{"shifted along", Lattice{3.01, 10, 1, 1, 3, 3}, Outside},
		{"shifted across", Lattice{3, 10.01, 1, 1, 3, 3}, Outside},
		{"other step", Lattice{3, 10, 0.5, 0.5, 5, 5}, Outside},
		{"two steps away", Lattice{4, 10, 1, 1, 3, 3}, Outside},
		{"below the place", Lattice{3, 8, 1, 1, 3, 3}, Outside},
	} {
		g := filledGrid(left, rough)
		h, flag := heightAt(t, tilesOf(t, g, filledGrid(tc.right, rough)), gap)
		if flag != tc.want {
			t.Errorf("%s: the gap is %v, want %v", tc.name, flag, tc.want)
		}
		if want := (rough(2, 9) + rough(3, 9)) / 2; flag == Ground && !(math.Abs(h-want) <= 1e-3*want) {
			t.Errorf("%s: %g m in the gap, want %g m", tc.name, h, want)
		}
	}
}

// Tiles laid side by side, seams included, come before coarse terrain given after
// them and behind coarse terrain given before them.
func TestTilesSeamsInOrder(t *testing.T) {
	const n, step = 10, 0.125
	whole := filledGrid(Lattice{WestDeg: 11, NorthDeg: 50, StepLonDeg: step, StepLatDeg: step, Cols: 3 * n, Rows: 3 * n},
		rough)
	coarse := filledGrid(Lattice{WestDeg: 9.9, NorthDeg: 51.1, StepLonDeg: 0.7, StepLatDeg: 0.7, Cols: 9, Rows: 9}, rough)
	for i := 5; i < len(whole.HeightM); i += 7 {
		whole.HeightM[i] = VoidHeight()
	}
	for i := 3; i < len(coarse.HeightM); i += 11 {
		coarse.HeightM[i] = VoidHeight()
	}
	var parts []*Grid
	for i := range 9 {
		parts = append(parts, cut(whole, i%3*n, i/3*n, n, n))
	}
	after := tilesOf(t, append(append([]*Grid{}, parts...), coarse)...)
	before := tilesOf(t, append([]*Grid{coarse}, parts...)...)
	rapid.Check(t, func(t *rapid.T) {
		at := drawPlaces(t, whole.Extent().Bound, step)
		wantSame(t, after, plainOrder{whole, coarse}, at)
		wantSame(t, before, plainOrder{coarse, whole}, at)
	})
	// A walk, as a profile is: most places follow one in the same tile.
	p, err := NewProfile(after, orb.Point{10.5, 49.9}, orb.Point{15.2, 46.1}, ProfileOptions{SpacingM: 500})
	if err != nil {
		t.Fatal(err)
	}
	wantSame(t, after, plainOrder{whole, coarse}, p.Points)
}

// A place beside a tile belongs to the tile that continues it there, in that
// tile's turn: coarse terrain given between the two comes first.
func TestTilesSeamLeavesWhatIsContinued(t *testing.T) {
	flat := func(l Lattice, h float64) *Grid { return filledGrid(l, func(_, _ float64) float64 { return h }) }
	tiles := tilesOf(t,
		flat(Lattice{0, 10, 1, 1, 3, 3}, 100),  // 0..2° E, 8..10° N
		flat(Lattice{0, 7, 1, 1, 3, 3}, 100),   // one step further south: a seam
		flat(Lattice{-5, 15, 5, 5, 5, 5}, 200), // coarse
		flat(Lattice{2, 10, 1, 1, 3, 3}, 100))  // shares the edge at 2° E
	for _, tc := range []struct {
		at   orb.Point
		want float64
	}{{orb.Point{1.5, 9}, 100}, {orb.Point{1.5, 7.5}, 100}, {orb.Point{2.5, 9}, 200}} {
		if h, flag := heightAt(t, tiles, tc.at); flag != Ground || h != tc.want {
			t.Errorf("%v: %g m, %v; want %g m", tc.at, h, flag, tc.want)
		}
	}
}

// A later tile that only reaches into a seam does not keep it, even where the place
// before was its own.
func TestTilesSeamWithinAWalk(t *testing.T) {
	flat := func(l Lattice, h float64) *Grid { return filledGrid(l, func(_, _ float64) float64 { return h }) }
	tiles := tilesOf(t,
		flat(Lattice{0, 10, 1, 1, 3, 3}, 100), // 0..2° E, 8..10° N
		flat(Lattice{3, 10, 1, 1, 3, 3}, 100), // 3..5° E
		flat(Lattice{2.2, 9.5, 0.1, 0.1, 7, 46}, 200))
	at, h, f := []orb.Point{{2.5, 6}, {2.5, 9}, {2.5, 6}}, make([]float64, 3), make([]Flag, 3)
	if err := tiles.Heights(at, h, f); err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{200, 100, 200} {
		if f[i] != Ground || !(math.Abs(h[i]-want) <= 1e-9) {
			t.Errorf("%v: %g m, %v; want %g m", at[i], h[i], f[i], want)
		}
	}
}
