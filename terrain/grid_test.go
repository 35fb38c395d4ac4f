package terrain

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// filledGrid returns a grid whose posts follow a function of their place.
func filledGrid(l Lattice, height func(lonDeg, latDeg float64) float64) *Grid {
	g := &Grid{Lattice: l, HeightM: make([]float32, l.Cols*l.Rows)}
	for i := range g.HeightM {
		p := l.Post(i%l.Cols, i/l.Cols)
		g.HeightM[i] = float32(height(p[0], p[1]))
	}
	return g
}

// Two by three posts, one of them void:
//
//	10  20  30   at 2° N
//	50   V  70   at 1° N
//	     longitudes 0°, 1°, 2°
func smallGrid() *Grid {
	return &Grid{
		Lattice: Lattice{WestDeg: 0, NorthDeg: 2, StepLonDeg: 1, StepLatDeg: 1, Cols: 3, Rows: 2},
		HeightM: []float32{10, 20, 30, 50, VoidHeight(), 70},
	}
}

func TestGridHeightsByHand(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	g := smallGrid()
	whole := smallGrid()
	whole.HeightM[4] = 60
	for _, tc := range []struct {
		name string
		g    *Grid
		at   orb.Point
		want float64
		flag Flag
	}{
		{"post", g, orb.Point{0, 2}, 10, Ground},
		{"post beside a void", g, orb.Point{1, 2}, 20, Ground},
		{"south-east post", g, orb.Point{2, 1}, 70, Ground},
		{"on the line between two posts, voids off it", g, orb.Point{0.25, 2}, 12.5, Ground},
		{"on the western edge", g, orb.Point{0, 1.25}, 40, Ground},
		{"on the eastern edge", g, orb.Point{2, 1.5}, 50, Ground},
		{"the void post", g, orb.Point{1, 1}, 0, Void},
		{"a void with weight", g, orb.Point{0.5, 1.5}, 0, Void},
		{"a void with a millionth of weight", g, orb.Point{1e-3, 2 - 1e-3}, 0, Void},
		// 0.75·0.5·10 + 0.25·0.5·20 + 0.75·0.5·50 + 0.25·0.5·60 = 32.5
		{"inside", whole, orb.Point{0.25, 1.5}, 32.5, Ground},
		// 0.1·(0.2·20+0.8·30) + 0.9·(0.2·60+0.8·70) = 2.8 + 61.2
		{"inside, second cell", whole, orb.Point{1.8, 1.1}, 64, Ground},
		{"a full turn on", whole, orb.Point{360.25, 1.5}, 32.5, Ground},
		{"two turns back", whole, orb.Point{-719.75, 1.5}, 32.5, Ground},
		{"north of it", g, orb.Point{0, 2.001}, 0, Outside},
		{"south of it", g, orb.Point{0, 0.999}, 0, Outside},
		{"west of it", g, orb.Point{-0.001, 2}, 0, Outside},
		{"east of it", g, orb.Point{2.001, 2}, 0, Outside},
		{"float noise off the edge", g, orb.Point{-1e-10, 2 + 1e-10}, 10, Ground},
		{"more than noise off the edge", g, orb.Point{-1e-6, 2}, 0, Outside},
		{"NaN longitude", g, orb.Point{nan, 2}, 0, Outside},
		{"NaN latitude", g, orb.Point{1, nan}, 0, Outside},
		{"infinite longitude", g, orb.Point{inf, 2}, 0, Outside},
		{"infinite latitude", g, orb.Point{1, -inf}, 0, Outside},
		{"huge longitude", g, orb.Point{1e300, 45}, 0, Outside},
	} {
		h, flag := heightAt(t, tc.g, tc.at)
		if flag != tc.flag || !(math.Abs(h-tc.want) <= 1e-9) {
			t.Errorf("%s %v: %g m, %v; want %g m, %v", tc.name, tc.at, h, flag, tc.want, tc.flag)
		}
	}
}

func TestGridAcrossTheDateLine(t *testing.T) {
	east := &Grid{ // 179..180° E
		Lattice: Lattice{WestDeg: 179, NorthDeg: 1, StepLonDeg: 1, StepLatDeg: 1, Cols: 2, Rows: 2},
		HeightM: []float32{100, 200, 100, 200},
	}
	west := &Grid{ // 180..179° W
		Lattice: Lattice{WestDeg: -180, NorthDeg: 1, StepLonDeg: 1, StepLatDeg: 1, Cols: 2, Rows: 2},
		HeightM: []float32{200, 300, 200, 300},
	}
	over := &Grid{ // 179° E..179° W in one piece
		Lattice: Lattice{WestDeg: 179, NorthDeg: 1, StepLonDeg: 1, StepLatDeg: 1, Cols: 3, Rows: 2},
		HeightM: []float32{100, 200, 300, 100, 200, 300},
	}
	for _, tc := range []struct {
		name   string
		g      *Grid
		lonDeg float64
		want   float64
		flag   Flag
	}{
		{"east tile, 180° E", east, 180, 200, Ground},
		{"east tile, 180° W", east, -180, 200, Ground},
		{"east tile, 180.5° W", east, -180.5, 150, Ground},
		{"east tile, 179.9° W", east, -179.9, 0, Outside},
		{"west tile, 180° E", west, 180, 200, Ground},
		{"west tile, a hair before 180° E", west, 180 - 1e-10, 200, Ground},
		{"west tile, 180.5° E", west, 180.5, 250, Ground},
		{"west tile, 179.9° E", west, 179.9, 0, Outside},
		{"both, 179.5° W", over, -179.5, 250, Ground},
		{"both, 179.5° E", over, 179.5, 150, Ground},
		{"both, 181° E", over, 181, 300, Ground},
		{"both, 178.9° W", over, -178.9, 0, Outside},
	} {
		h, flag := heightAt(t, tc.g, orb.Point{tc.lonDeg, 0.5})
		if flag != tc.flag || !(math.Abs(h-tc.want) <= 1e-6) {
			t.Errorf("%s: %g m, %v; want %g m, %v", tc.name, h, flag, tc.want, tc.flag)
		}
	}
}

// A grid of one row or one column has ground on its posts and between them
// along the line, nowhere else.
func TestGridOfOneLine(t *testing.T) {
	row := &Grid{Lattice: Lattice{0, 0, 1, 1, 2, 1}, HeightM: []float32{4, 8}}
	column := &Grid{Lattice: Lattice{0, 1, 1, 1, 1, 2}, HeightM: []float32{4, 8}}
	for _, tc := range []struct {
		g    *Grid
		at   orb.Point
		want float64
		flag Flag
	}{
		{row, orb.Point{0.5, 0}, 6, Ground},
		{row, orb.Point{1, 0}, 8, Ground},
		{row, orb.Point{0.5, 0.1}, 0, Outside},
		{column, orb.Point{0, 0.25}, 7, Ground},
		{column, orb.Point{0.1, 0.25}, 0, Outside},
	} {
		if h, flag := heightAt(t, tc.g, tc.at); h != tc.want || flag != tc.flag {
			t.Errorf("%v: %g m, %v; want %g m, %v", tc.at, h, flag, tc.want, tc.flag)
		}
	}
}

// Bilinear interpolation reproduces a + b·x + c·y + d·x·y exactly (it is the
// only such function through four posts), wherever the grid lies.
func TestGridReproducesABilinearSurface(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		l := Lattice{
			WestDeg: draw("west", -180, 180), NorthDeg: draw("north", -80, 90),
			StepLonDeg: draw("step lon", 1e-4, 0.1), StepLatDeg: draw("step lat", 1e-4, 0.1),
			Cols: rapid.IntRange(2, 40).Draw(t, "cols"), Rows: rapid.IntRange(2, 40).Draw(t, "rows"),
		}
		a, b, c, d := draw("a", -100, 100), draw("b", -9, 9), draw("c", -9, 9), draw("d", -1, 1)
		surface := func(x, y float64) float64 { return a + b*x + c*y + d*x*y }
		g := &Grid{Lattice: l, HeightM: make([]float32, l.Cols*l.Rows)}
		for i := range g.HeightM {
			g.HeightM[i] = float32(surface(float64(i%l.Cols), float64(i/l.Cols)))
		}
		x, y := draw("x", 0, float64(l.Cols-1)), draw("y", 0, float64(l.Rows-1))
		turns := float64(rapid.IntRange(-2, 2).Draw(t, "turns"))
		var (
			h    [1]float64
			flag [1]Flag
		)
		at := orb.Point{l.WestDeg + x*l.StepLonDeg + 360*turns, l.NorthDeg - y*l.StepLatDeg}
		if err := g.Heights([]orb.Point{at}, h[:], flag[:]); err != nil {
			t.Fatal(err)
		}
		// float32 posts of up to 2300 m are good to 1.2e-4 m.
		if want := surface(x, y); flag[0] != Ground || !(math.Abs(h[0]-want) <= 5e-4) {
			t.Fatalf("%v in %+v: %g m, %v; want %g m", at, l, h[0], flag[0], want)
		}
	})
}

func TestGridHeightsRefusesABrokenGrid(t *testing.T) {
	for name, tc := range map[string]struct {
		g    *Grid
		word string
	}{
		"no lattice":   {&Grid{}, "0 columns by 0 rows"},
		"few heights":  {&Grid{Lattice: smallGrid().Lattice, HeightM: make([]float32, 5)}, "holds 5 heights, must be 6"},
		"many heights": {&Grid{Lattice: smallGrid().Lattice, HeightM: make([]float32, 7)}, "holds 7 heights, must be 6"},
	} {
		err := tc.g.Heights(make([]orb.Point, 1), make([]float64, 1), make([]Flag, 1))
		if err == nil || !strings.Contains(err.Error(), tc.word) {
			t.Errorf("%s: error %v does not mention %q", name, err, tc.word)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("slices of different length did not panic")
		}
	}()
	_ = smallGrid().Heights(make([]orb.Point, 2), make([]float64, 1), make([]Flag, 2))
}

func TestGridInfiniteHeightIsVoid(t *testing.T) {
	g := smallGrid()
	g.HeightM[0] = float32(math.Inf(1))
	if h, flag := heightAt(t, g, orb.Point{0.5, 2}); h != 0 || flag != Void {
		t.Errorf("beside an infinite post: %g m, %v; want a void", h, flag)
	}
}

func TestGridHeightsDoesNotAllocate(t *testing.T) {
	g := smallGrid()
	at := []orb.Point{{0.5, 2}, {0.5, 1.5}, {-90, 0}}
	h, flag := make([]float64, 3), make([]Flag, 3)
	if n := testing.AllocsPerRun(100, func() { _ = g.Heights(at, h, flag) }); n != 0 {
		t.Errorf("%g allocations per call, want 0", n)
	}
}

// One point of a path: consecutive places 30 m apart over a 1" tile.
func BenchmarkGridHeights(b *testing.B) {
	step := 1.0 / 3600
	g := filledGrid(Lattice{WestDeg: 8, NorthDeg: 47, StepLonDeg: step, StepLatDeg: step, Cols: 3601, Rows: 3601},
		func(lonDeg, latDeg float64) float64 { return 500 + 300*math.Sin(40*lonDeg)*math.Cos(50*latDeg) })
	const n = 1000
	at, h, flag := make([]orb.Point, n), make([]float64, n), make([]Flag, n)
	for i := range at {
		at[i] = orb.Point{8.1 + 0.0003*float64(i), 46.1 + 0.00025*float64(i)}
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := g.Heights(at, h, flag); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/point")
}
