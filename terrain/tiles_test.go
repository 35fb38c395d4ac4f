package terrain

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// sourceOf returns a source that hands out a grid already in memory.
func sourceOf(name string, g *Grid) Source {
	return Source{Name: name, Lattice: g.Lattice, Load: func() (*Grid, error) { return g, nil }}
}

// tilesOf joins grids into one DEM.
func tilesOf(t interface {
	Helper()
	Fatal(...any)
}, grids ...*Grid) *Tiles {
	t.Helper()
	var sources []Source
	for i, g := range grids {
		sources = append(sources, sourceOf(fmt.Sprintf("tile%d", i), g))
	}
	tiles, err := NewTiles(sources, TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tiles
}

// cut returns the posts of a grid from a column and a row on.
func cut(g *Grid, col, row, cols, rows int) *Grid {
	part := &Grid{Lattice: g.Lattice}
	at := g.Post(col, row)
	part.WestDeg, part.NorthDeg, part.Cols, part.Rows = at[0], at[1], cols, rows
	for r := row; r < row+rows; r++ {
		part.HeightM = append(part.HeightM, g.HeightM[r*g.Cols+col:r*g.Cols+col+cols]...)
	}
	return part
}

// rough is a height that differs from post to post, for grids whose parts must
// not be mixed up.
func rough(lonDeg, latDeg float64) float64 {
	return 500 + 400*math.Sin(37*lonDeg)*math.Cos(29*latDeg) + 90*math.Sin(211*lonDeg+173*latDeg)
}

// drawPlaces draws places in and around an area, some on round figures, so that
// posts and edges are among them.
func drawPlaces(t *rapid.T, b orb.Bound, stepDeg float64) []orb.Point {
	n := rapid.IntRange(1, 60).Draw(t, "places")
	at := make([]orb.Point, n)
	for i := range at {
		for d := range 2 {
			v := rapid.Float64Range(b.Min[d]-3*stepDeg, b.Max[d]+3*stepDeg).Draw(t, "coordinate")
			if rapid.Bool().Draw(t, "on a post") {
				v = b.Min[d] + math.Round((v-b.Min[d])/stepDeg)*stepDeg
			}
			at[i][d] = v
		}
	}
	return at
}

// wantSame compares the answers of two DEMs, heights to within a micrometre.
func wantSame(t interface{ Fatalf(string, ...any) }, got, want DEM, at []orb.Point) {
	answer := func(d DEM) ([]float64, []Flag) {
		h, f := make([]float64, len(at)), make([]Flag, len(at))
		for i := range h { // whatever was there before must be overwritten
			h[i], f[i] = math.NaN(), Filled
		}
		if err := d.Heights(at, h, f); err != nil {
			t.Fatalf("%v", err)
		}
		return h, f
	}
	gotM, gotFlag := answer(got)
	wantM, wantFlag := answer(want)
	for i, p := range at {
		// Weights are differences of coordinates: near 180° a bit is 1e-13 of a degree.
		if gotFlag[i] != wantFlag[i] || !(math.Abs(gotM[i]-wantM[i]) <= 1e-6) {
			t.Fatalf("place %d of %d, %v: %.9f m, %v; want %.9f m, %v", i, len(at), p, gotM[i], gotFlag[i], wantM[i],
				wantFlag[i])
		}
	}
}

// However a grid is cut into tiles, with shared edge posts or laid side by side
// one step apart, the tiles must answer as the whole does, voids included.
func TestTilesAnswerLikeTheWhole(t *testing.T) {
	for _, tc := range []struct {
		name    string
		overlap int
		westDeg float64
	}{
		{"shared edges", 1, 11}, {"side by side", 0, 11}, {"overlapping", 3, 11},
		{"shared edges on the date line", 1, 179.5}, {"side by side on the date line", 0, 179.5},
	} {
		t.Run(tc.name, func(t *testing.T) {
			const n, parts, step = 10, 4, 0.125 // posts per tile and way, tiles per way; step is exact in binary
			posts := parts*n + tc.overlap
			whole := filledGrid(Lattice{WestDeg: tc.westDeg, NorthDeg: 50, StepLonDeg: step, StepLatDeg: step, Cols: posts,
				Rows: posts}, rough)
			for i := 7; i < len(whole.HeightM); i += 61 {
				whole.HeightM[i] = VoidHeight()
			}
			var grids []*Grid
			for row := range parts {
				for col := range parts {
					grids = append(grids, cut(whole, col*n, row*n, n+tc.overlap, n+tc.overlap))
				}
			}
			for i, g := range grids { // beyond 180° east, files say west
				if g.WestDeg >= 180 {
					grids[i].WestDeg -= 360
				}
			}
			tiles := tilesOf(t, grids...)
			rapid.Check(t, func(t *rapid.T) {
				wantSame(t, tiles, whole, drawPlaces(t, whole.Extent().Bound, step))
			})
		})
	}
}

// plainOrder is the rule for overlaps written down directly: ask one grid after
// the other.
type plainOrder []*Grid

func (p plainOrder) Extent() Extent { return Extent{} }

func (p plainOrder) Heights(at []orb.Point, heightM []float64, flag []Flag) error {
	for i := range at {
		heightM[i], flag[i] = 0, Outside
		for _, g := range p {
			var h [1]float64
			var f [1]Flag
			if err := g.Heights(at[i:i+1], h[:], f[:]); err != nil {
				return err
			}
			if f[0] == Ground {
				heightM[i], flag[i] = h[0], Ground
				break
			}
			if f[0] == Void {
				flag[i] = Void
			}
		}
	}
	return nil
}

// Any tangle of grids, none of which continues another, follows that rule,
// whatever else is asked in the same call.
func TestTilesOverlapInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var grids []*Grid
		for i := range rapid.IntRange(1, 7).Draw(t, "grids") {
			step := 0.25 * math.Pow(1.37, float64(i)) // no two alike
			g := filledGrid(Lattice{
				WestDeg:    rapid.Float64Range(170, 190).Draw(t, "west"),
				NorthDeg:   rapid.Float64Range(-5, 5).Draw(t, "north"),
				StepLonDeg: step, StepLatDeg: step,
				Cols: rapid.IntRange(1, 20).Draw(t, "cols"), Rows: rapid.IntRange(1, 20).Draw(t, "rows"),
			}, func(lon, lat float64) float64 { return 1000*float64(i) + rough(lon, lat) })
			for j := rapid.IntRange(0, 9).Draw(t, "void"); j < len(g.HeightM); j += 9 {
				g.HeightM[j] = VoidHeight()
			}
			grids = append(grids, g)
		}
		n := rapid.IntRange(1, 50).Draw(t, "places")
		at := make([]orb.Point, n)
		for i := range at {
			at[i] = orb.Point{rapid.Float64Range(168, 200).Draw(t, "lon"), rapid.Float64Range(-20, 7).Draw(t, "lat")}
			if rapid.Bool().Draw(t, "written west") {
				at[i][0] -= 360
			}
			if g := grids[i%len(grids)]; rapid.Bool().Draw(t, "on a post") {
				at[i] = g.Post(rapid.IntRange(0, g.Cols-1).Draw(t, "col"), rapid.IntRange(0, g.Rows-1).Draw(t, "row"))
			}
		}
		wantSame(t, tilesOf(t, grids...), plainOrder(grids), at)
	})
}

func TestTilesOutsideAnything(t *testing.T) {
	tiles := tilesOf(t, filledGrid(Lattice{0, 10, 1, 1, 3, 3}, rough))
	for _, p := range []orb.Point{{5, 9}, {1, 11}, {1, -90}, {math.NaN(), 9}, {1, math.NaN()}, {math.Inf(1), 9},
		{1, math.Inf(-1)}, {1e300, 1e300}} {
		if h, flag := heightAt(t, tiles, p); flag != Outside || h != 0 {
			t.Errorf("%v: %g m, %v, want outside", p, h, flag)
		}
	}
}

func TestTilesExtent(t *testing.T) {
	tiles := tilesOf(t,
		filledGrid(Lattice{0, 10, 1, 0.5, 3, 3}, rough),
		filledGrid(Lattice{7, 5, 0.25, 2, 5, 2}, rough))
	want := Extent{Bound: orb.Bound{Min: orb.Point{0, 3}, Max: orb.Point{8, 10}}, StepLonDeg: 0.25, StepLatDeg: 0.5}
	if got := tiles.Extent(); got != want {
		t.Errorf("extent %+v, want %+v", got, want)
	}
}

func TestNewTilesRefusals(t *testing.T) {
	load := func() (*Grid, error) { return nil, nil }
	good := Lattice{0, 10, 1, 1, 3, 3}
	_, err := NewTiles([]Source{
		{Name: "no load", Lattice: good},
		{Name: "no posts", Lattice: Lattice{0, 10, 1, 1, 0, 3}, Load: load},
		{Name: "good", Lattice: good, Load: load},
		{Name: "huge", Lattice: Lattice{0, 10, 1e-30, 1e-30, math.MaxInt / 2, 1}, Load: load},
	}, TilesOptions{CacheBytes: -1})
	if err == nil {
		t.Fatal("bad sources are accepted")
	}
	for _, w := range []string{`"no load"`, `"no posts"`, `"huge"`, "-1 bytes"} {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("error %q does not tell %s", err, w)
		}
	}
	if strings.Contains(err.Error(), `"good"`) {
		t.Errorf("%v blames the good one", err)
	}
	_, err = NewTiles(nil, TilesOptions{})
	wantError(t, "no sources", err, "no sources")
}

func TestTilesLoadFailures(t *testing.T) {
	g := filledGrid(Lattice{0, 10, 1, 1, 3, 3}, rough)
	other := filledGrid(Lattice{0, 10, 1, 1, 3, 4}, rough)
	short := &Grid{Lattice: g.Lattice, HeightM: g.HeightM[:5]}
	broken := errors.New("card pulled out")
	named := errors.New("terrain: a.hgt: torn")
	at, h, f := []orb.Point{{1, 9}}, make([]float64, 1), make([]Flag, 1)
	for _, tc := range []struct {
		name string
		grid *Grid
		err  error
		want string
	}{
		{"fails", nil, broken, "tile a.hgt: card pulled out"},
		{"fails and tells its name", nil, named, "terrain: a.hgt: torn"},
		{"nothing", nil, nil, "a.hgt"},
		{"another lattice", other, nil, "a.hgt"},
		{"too few heights", short, nil, "a.hgt"},
	} {
		calls := 0
		tiles, err := NewTiles([]Source{{Name: "a.hgt", Lattice: g.Lattice, Load: func() (*Grid, error) {
			if calls++; calls == 1 {
				return tc.grid, tc.err
			}
			return g, nil
		}}}, TilesOptions{})
		if err != nil {
			t.Fatal(err)
		}
		err = tiles.Heights(at, h, f)
		wantError(t, tc.name, err, tc.want)
		if tc.err != nil && !errors.Is(err, tc.err) {
			t.Errorf("%s: %v does not wrap the cause", tc.name, err)
		}
		if err := tiles.Heights(at, h, f); err != nil || f[0] != Ground {
			t.Errorf("%s: the second try gives %v, %v", tc.name, err, f[0])
		}
	}
}
