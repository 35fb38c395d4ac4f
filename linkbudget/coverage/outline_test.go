package coverage_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// raster draws a picture of cells: '#' inside, '?' void, '.' judged but outside.
func raster(westDeg float64, rows ...string) *coverage.Raster {
	r := &coverage.Raster{Lattice: terrain.Lattice{WestDeg: westDeg, NorthDeg: 10, StepLonDeg: 1, StepLatDeg: 1,
		Cols: len(rows[0]), Rows: len(rows)}, WantPercent: 90}
	for _, row := range rows {
		for _, c := range row {
			cell := coverage.Judged.Cell()
			switch c {
			case '#':
				cell = chance(1)
			case '?':
				cell = coverage.Void.Cell()
			}
			r.Cells = append(r.Cells, cell)
		}
	}
	return r
}

// chance is a judged cell with that probability.
func chance(p float64) coverage.Cell { return coverage.Numbers{Probability: p}.Cell() }

func served(c coverage.Cell) bool { return c.State() == coverage.Judged && c.Probability() >= 0.9 }

// Drawn by hand.
func TestOutlineOfSmallPictures(t *testing.T) {
	for name, c := range map[string]struct {
		r    *coverage.Raster
		want string
	}{
		"one cell": {raster(0, "#"), "[[[[-0.5 9.5] [0.5 9.5] [0.5 10.5] [-0.5 10.5] [-0.5 9.5]]]]"},
		"nothing":  {raster(0, ".?"), "[]"},
		"corner to corner": {raster(0, "#.", ".#"), "[[[[-0.5 9.5] [0.5 9.5] [0.5 10.5] [-0.5 10.5] [-0.5 9.5]]] [[[0.5 " +
			"8.5] [1.5 8.5] [1.5 9.5] [0.5 9.5] [0.5 8.5]]]]"},
		"a hole": {raster(0, "###", "#.#", "###"), "[[[[-0.5 10.5] [-0.5 7.5] [2.5 7.5] [2.5 10.5] [-0.5 10.5]] " +
			"[[0.5 9.5] [1.5 9.5] [1.5 8.5] [0.5 8.5] [0.5 9.5]]]]"},
		"the antimeridian": {raster(179, "##"), "[[[[178.5 9.5] [180 9.5] [180 10.5] [178.5 10.5] [178.5 9.5]]] [[[-180 " +
			"9.5] [-179.5 9.5] [-179.5 10.5] [-180 10.5] [-180 9.5]]]]"},
	} {
		if got := fmt.Sprint(c.r.Outline(served)); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
	// Cells whose edges do not meet the antimeridian: nothing is lost between the
	// parts, all together as wide as the cells.
	width := 0.0
	for _, p := range raster(178.8, "####").Outline(served) {
		b := p.Bound()
		width += b.Max[0] - b.Min[0]
	}
	if !(math.Abs(width-4) < 1e-6) {
		t.Errorf("four cells of one degree are %g degrees wide", width)
	}
	// A cell on the antimeridian itself has a half on each side.
	for _, mask := range []string{"..#.", "####", "..##", "###."} {
		width, cells := 0.0, 0
		for _, p := range raster(178, mask).Outline(served) {
			b := p.Bound()
			if !(b.Min[0] >= -180 && b.Max[0] <= 180) {
				t.Errorf("%s: longitudes %g to %g", mask, b.Min[0], b.Max[0])
			}
			width += b.Max[0] - b.Min[0]
		}
		for _, c := range mask {
			if c == '#' {
				cells++
			}
		}
		if !(math.Abs(width-float64(cells)) < 1e-6) {
			t.Errorf("%s: %d cells of one degree are %g degrees wide", mask, cells, width)
		}
	}
}

// RFC 7946 §3.1.6 and the rules of valid polygons, on random masks: rings
// closed, four positions or more, outer ones counter-clockwise, holes clockwise,
// no corner twice in a ring; and the area is that of the cells.
func TestOutlinesAreValid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cols, rows := rapid.IntRange(1, 14).Draw(t, "cols"), rapid.IntRange(1, 14).Draw(t, "rows")
		lines, count := make([]string, rows), 0
		for i := range lines {
			for range cols {
				c := rapid.SampledFrom([]string{"#", "#", ".", "?"}).Draw(t, "cell")
				count += strings.Count(c, "#")
				lines[i] += c
			}
		}
		var area float64
		for _, p := range raster(0, lines...).Outline(served) {
			for i, ring := range p {
				if len(ring) < 5 || !ring.Closed() {
					t.Fatalf("ring %v of %q", ring, lines)
				}
				if want := map[bool]orb.Orientation{true: orb.CCW, false: orb.CW}[i == 0]; ring.Orientation() != want {
					t.Fatalf("ring %d turns the wrong way: %v", i, ring)
				}
				seen := map[orb.Point]bool{}
				for _, at := range ring[1:] {
					if seen[at] {
						t.Fatalf("ring passes %v twice: %v of %q", at, ring, lines)
					}
					seen[at] = true
				}
				area += shoelace(ring)
			}
		}
		if !(math.Abs(area-float64(count)) < 1e-6) {
			t.Fatalf("area %g, want %d cells: %q", area, count, lines)
		}
	})
}

// shoelace is the signed area, counter-clockwise above 0.
func shoelace(r orb.Ring) float64 {
	var sum float64
	for i := 1; i < len(r); i++ {
		sum += r[i-1][0]*r[i][1] - r[i][0]*r[i-1][1]
	}
	return sum / 2
}

func TestTableCountsWhatCouldNotBeJudged(t *testing.T) {
	table := raster(0, "##", ".?").Table([]float64{90})
	if table.WantedCells != 4 || table.Levels[0].Cells != 2 || table.UnjudgedByState[coverage.Void] != 1 {
		t.Errorf("%+v", table)
	}
	// Cells of one degree at 10 and 9 degrees north by the exact area of a zone of
	// WGS 84, a²(1-e²)Δλ ∫ cos φ/(1-e² sin²φ)² dφ, integrated in 1,000 steps.
	var want float64
	for row, n := range []int{2, 2} {
		for k := range 1000 {
			phi := (10 - float64(row) - 0.5 + (float64(k)+0.5)/1000) * math.Pi / 180
			const a, e2 = 6378137.0, 0.00669437999014
			w := 1 - e2*math.Sin(phi)*math.Sin(phi)
			want += float64(n) * a * a * (1 - e2) * math.Pi / 180 * math.Pi / 180 / 1000 * math.Cos(phi) / (w * w) / 1e6
		}
	}
	if !(math.Abs(table.WantedKm2-want) < 1e-4*want) {
		t.Errorf("area %.3f km², want %.3f", table.WantedKm2, want)
	}
}

// A cell counts at a level in the file where it does in the table: 0.89996 is no
// 0.9. The foot of the pole counts as served.
func TestGridHasTheLevelsOfTheTable(t *testing.T) {
	r := raster(0, "######.?")
	for i, p := range []float64{0.89996, 0.9000001, 0.49999, 0.5, 0.989999, 1} {
		r.Cells[i] = chance(p)
	}
	r.Cells[6] = coverage.Foot.Cell()
	levels := []float64{50, 90, 99}
	table, grid := r.Table(levels), r.Grid(coverage.Probability)
	for i, want := range []int{6, 4, 2} {
		count := 0
		for _, v := range grid.HeightM {
			if float64(v) >= levels[i]-1e-4 { // half-long numbers of two decimals
				count++
			}
		}
		if table.Levels[i].Cells != want || count != want {
			t.Errorf("%g %%: %d cells in the table, %d in the grid, want %d", levels[i], table.Levels[i].Cells, count, want)
		}
	}
}

func TestGridRoundsAndMarks(t *testing.T) {
	r := raster(0, "#?")
	r.Cells[0] = sure(12.3456)
	g := r.Grid(coverage.Margin)
	if g.HeightM[0] != 12.35 || !terrain.IsVoid(g.HeightM[1]) {
		t.Errorf("grid %v", g.HeightM)
	}
	if _, err := coverage.ParseQuantity("volts"); err == nil {
		t.Error("volts were accepted")
	}
}
