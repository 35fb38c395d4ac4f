package coverage_test

import (
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// sure is a cell that is reached without doubt.
func sure(margin linkbudget.DB) coverage.Cell {
	return coverage.Numbers{MarginDB: margin, Probability: 1}.Cell()
}

func TestCombineByHand(t *testing.T) {
	a, b := raster(0, "#..", "?##"), raster(1, "##", "?#")
	b.Cells[1] = sure(5)
	all, err := coverage.Combine([]string{"a", "b"}, a, b)
	if err != nil {
		t.Fatal(err)
	}
	want := []coverage.Served{
		{Best: 0, Heard: 1, Any: 1, State: coverage.Judged}, {Best: 1, Heard: 1, Any: 1, State: coverage.Judged}, {Best: 1, Heard: 1, Any: 1, State: coverage.Judged},
		{Best: -1, State: coverage.Void}, {Best: 0, Heard: 1, Any: 1, State: coverage.Judged}, {Best: 0, Heard: 2, Any: 1, State: coverage.Judged},
	}
	if diff := cmp.Diff(want, all.Cells); diff != "" {
		t.Error(diff)
	}
	if _, err := coverage.Combine([]string{"a", "b"}, a, raster(0.5, "#")); err == nil {
		t.Error("rasters off each other's cells were joined")
	}
}

// Where no pole reaches and one could not be judged, nobody knows: it might.
func TestCombineDoesNotGuess(t *testing.T) {
	a, b := raster(0, "##.."), raster(0, "?.?.")
	b.Cells[0], b.Cells[2] = coverage.Hidden.Cell(), coverage.Hidden.Cell()
	all, err := coverage.Combine([]string{"a", "b"}, a, b)
	if err != nil {
		t.Fatal(err)
	}
	want := []coverage.Served{
		{Best: 0, Heard: 1, Any: 1, State: coverage.Judged}, {Best: 0, Heard: 1, Any: 1, State: coverage.Judged},
		{Best: -1, State: coverage.Hidden}, {Best: 0, State: coverage.Judged},
	}
	if diff := cmp.Diff(want, all.Cells); diff != "" {
		t.Error(diff)
	}
	if table := all.AsRaster(a).Table([]float64{90}); table.UnjudgedByState[coverage.Hidden] != 1 ||
		table.WantedCells != 4 || table.Levels[0].Cells != 2 {
		t.Errorf("%+v", table)
	}
}

// Groups of poles joined in any order give what all of them give one by one, bit for bit; the
// chance that one reaches is that of the product, by logarithms of its own.
func TestTallyInAnyGrouping(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	chances := []float64{0, 1e-9, 0.3, 0.899999999, 0.9, 0.99, 1 - 1.0/(1<<28), 1}
	for range 300 {
		cells := make([]coverage.Cell, 1+rng.IntN(60))
		none := 0.0
		for i := range cells {
			chance := chances[rng.IntN(len(chances))]
			if rng.IntN(2) == 0 {
				chance = rng.Float64() / 4
			}
			cells[i] = coverage.Numbers{MarginDB: linkbudget.DB(rng.IntN(9) - 4), Probability: chance}.Cell()
			if rng.IntN(5) == 0 {
				cells[i] = coverage.State(rng.IntN(5)).Cell() // Judged among them, all 0
			}
			if cells[i].State() == coverage.Judged {
				none += math.Log1p(-cells[i].Probability())
			}
		}
		var one coverage.Tally
		for i, c := range cells {
			one.Add(i, c, 90)
		}
		groups := make([]coverage.Tally, 1+rng.IntN(7))
		for _, i := range rng.Perm(len(cells)) {
			groups[rng.IntN(len(groups))].Add(i, cells[i], 90)
		}
		var all coverage.Tally
		for _, i := range rng.Perm(len(groups)) {
			all.Join(groups[i])
		}
		if all != one || all.Served() != one.Served() {
			t.Fatalf("in groups %+v, one by one %+v", all, one)
		}
		if s := one.Served(); s.State == coverage.Judged && !(math.Abs(float64(s.Any)+math.Expm1(none)) <= 1e-6) {
			t.Fatalf("%d cells: any %.9f, want %.9f", len(cells), s.Any, -math.Expm1(none))
		}
	}
}

// One pole alone has its own chance, to the last step of a cell that a number of 32 bits can hold.
func TestTallyOfOne(t *testing.T) {
	for _, chance := range []float64{1e-8, 0.1, 0.5, 0.9, 0.99, 0.9999999, 1} {
		c := coverage.Numbers{Probability: chance}.Cell()
		var one coverage.Tally
		one.Add(3, c, 90)
		want := coverage.Served{Best: 3, Any: float32(c.Probability()), State: coverage.Judged}
		if c.Probability()*100 >= 90 {
			want.Heard = 1
		}
		if got := one.Served(); got != want {
			t.Errorf("%g: %+v, want %+v", chance, got, want)
		}
	}
}

// two poles: a serves the west, b the east, both the middle, b better there.
func two(t *testing.T) *coverage.Combined {
	t.Helper()
	a, b := raster(0, "##..?"), raster(0, ".##.?")
	a.Cells[1], b.Cells[1] = sure(3), sure(5)
	all, err := coverage.Combine([]string{"a", "b"}, a, b)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestGridsOfSeveralPoles(t *testing.T) {
	all := two(t)
	for q, want := range map[coverage.Quantity][]float32{
		coverage.Who: {1, 2, 2, 0}, coverage.HowMany: {1, 2, 1, 0}, coverage.Probability: {100, 100, 100, 0},
	} {
		g := all.Grid(q)
		if diff := cmp.Diff(want, g.HeightM[:4]); diff != "" || !terrain.IsVoid(g.HeightM[4]) {
			t.Errorf("%s: %v, want %v and a void", q, g.HeightM, want)
		}
	}
	for _, q := range []coverage.Quantity{coverage.Margin, coverage.Loss} {
		if g := all.Grid(q); !terrain.IsVoid(g.HeightM[0]) {
			t.Errorf("%s of several poles is %g", q, g.HeightM[0])
		}
		if _, err := all.Draw(coverage.PictureOptions{Quantity: q}); err == nil {
			t.Errorf("%s of several poles was drawn", q)
		}
	}
}

func TestPicturesOfSeveralPoles(t *testing.T) {
	all := two(t)
	far := []orb.Point{{30, 30}, {40, 30}}
	look := func(q coverage.Quantity, col int) color.RGBA {
		p, err := all.Draw(coverage.PictureOptions{Quantity: q, LeastPixels: 100, Poles: far})
		if err != nil {
			t.Fatal(err)
		}
		return pixel(throughPNG(t, p), 20*col+11, 13) // off lines and patterns
	}
	// Orange and blue of Okabe and Ito; the ends of viridis for one and for two.
	orange, blue, purple, yellow, pale := color.RGBA{230, 159, 0, 255}, color.RGBA{0, 114, 178, 255},
		color.RGBA{0x44, 1, 0x54, 255}, color.RGBA{0xfd, 0xe7, 0x25, 255}, color.RGBA{228, 228, 228, 255}
	for q, want := range map[coverage.Quantity][4]color.RGBA{
		coverage.Who: {orange, blue, blue, pale}, coverage.HowMany: {purple, yellow, purple, pale},
		coverage.Probability: {yellow, yellow, yellow, purple},
	} {
		for col, w := range want {
			if got := look(q, col); got != w {
				t.Errorf("%s: cell %d is %v, want %v", q, col, got, w)
			}
		}
		if c := look(q, 4); c.R != c.G || c.G != c.B || c == pale {
			t.Errorf("%s: a void is %v", q, c)
		}
	}
	// A second cue: the area of the second pole has lines.
	p, err := all.Draw(coverage.PictureOptions{Quantity: coverage.Who, LeastPixels: 400,
		Poles: []orb.Point{{0, 10}, {2, 10}}})
	if err != nil {
		t.Fatal(err)
	}
	m := throughPNG(t, p)
	shades := map[color.RGBA]int{}
	for y := 30; y < 50; y++ {
		for x := 110; x < 150; x++ {
			shades[pixel(m, x, y)]++
		}
	}
	if len(shades) != 2 {
		t.Errorf("the second area has %d shades, want 2", len(shades))
	}
}
