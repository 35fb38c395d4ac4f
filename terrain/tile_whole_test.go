package terrain

import (
	"errors"
	"testing"

	"github.com/paulmach/orb"
)

// Where Whole hands out a tile, its posts are what Heights says; where several
// tiles have a say it hands out none.
func TestTilesWhole(t *testing.T) {
	all := filledGrid(Lattice{WestDeg: 10, NorthDeg: 50, StepLonDeg: 0.01, StepLatDeg: 0.02, Cols: 41, Rows: 31}, rough)
	all.HeightM[7*all.Cols+9] = VoidHeight()
	west, east := cut(all, 0, 0, 21, 31), cut(all, 20, 0, 21, 31) // one column in common
	beside := cut(all, 21, 0, 20, 31)                             // none in common: a seam
	part := func(col, row, cols, rows int) Lattice { return cut(all, col, row, cols, rows).Lattice }
	turned := part(5, 5, 10, 10)
	turned.WestDeg -= 360
	between := part(5, 5, 10, 10)
	between.WestDeg += 0.005
	coarse := part(4, 4, 5, 5)
	coarse.StepLonDeg *= 2
	for name, c := range map[string]struct {
		tiles    []*Grid
		l        Lattice
		tile     *Grid
		col, row int
	}{
		"all of the only tile":       {[]*Grid{all}, all.Lattice, all, 0, 0},
		"a part of it":               {[]*Grid{all}, part(5, 3, 12, 9), all, 5, 3},
		"a turn away":                {[]*Grid{all}, turned, all, 5, 5},
		"one of two":                 {[]*Grid{west, east}, part(22, 1, 6, 6), east, 2, 1},
		"up to before the common":    {[]*Grid{west, east}, part(3, 1, 17, 6), west, 3, 1},
		"with the posts in common":   {[]*Grid{west, east}, part(3, 1, 18, 6), nil, 0, 0},
		"across both":                {[]*Grid{west, east}, part(3, 1, 30, 6), nil, 0, 0},
		"a step before the seam":     {[]*Grid{west, beside}, part(3, 1, 16, 6), west, 3, 1},
		"at the seam":                {[]*Grid{west, beside}, part(3, 1, 18, 6), nil, 0, 0},
		"beyond the tile":            {[]*Grid{west}, part(10, 1, 20, 6), nil, 0, 0},
		"beside all":                 {[]*Grid{west}, part(30, 1, 6, 6), nil, 0, 0},
		"between posts":              {[]*Grid{all}, between, nil, 0, 0},
		"every other post":           {[]*Grid{all}, coarse, nil, 0, 0},
		"an overlap that is all one": {[]*Grid{west, all}, part(1, 1, 6, 6), nil, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			tiles := tilesOf(t, c.tiles...)
			g, col, row, err := tiles.Whole(c.l)
			if err != nil || g != c.tile || col != c.col || row != c.row {
				t.Fatalf("tile %p at column %d, row %d, error %v; want %p at %d, %d", g, col, row, err, c.tile, c.col, c.row)
			}
			if g == nil {
				return
			}
			for r := range c.l.Rows {
				for k := range c.l.Cols {
					var h [1]float64
					var f [1]Flag
					if err := tiles.Heights([]orb.Point{c.l.Post(k, r)}, h[:], f[:]); err != nil {
						t.Fatal(err)
					}
					post := g.HeightM[(row+r)*g.Cols+col+k]
					if f[0].Known() == IsVoid(post) || f[0].Known() && float32(h[0]) != post {
						t.Errorf("post %d, %d: %g in the tile, %g (%v) by Heights", k, r, post, h[0], f[0])
					}
				}
			}
		})
	}
}

// A tile that cannot be read is an error, not another answer.
func TestTilesWholeBroken(t *testing.T) {
	broken := errors.New("no such disk")
	l := Lattice{WestDeg: 10, NorthDeg: 50, StepLonDeg: 0.01, StepLatDeg: 0.01, Cols: 5, Rows: 5}
	tiles, err := NewTiles([]Source{{Name: "a", Lattice: l, Load: func() (*Grid, error) { return nil, broken }}},
		TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if g, _, _, err := tiles.Whole(l); g != nil || !errors.Is(err, broken) {
		t.Errorf("grid %v, error %v, want none and %v", g, err, broken)
	}
}
