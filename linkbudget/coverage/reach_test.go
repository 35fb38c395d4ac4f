package coverage_test

import (
	"math"
	"slices"
	"testing"

	"github.com/polereach/polereach/linkbudget/coverage"
)

// Over level water cells between judged ones lie on straight lines. A sweep of every second post, which judges all of its
// cells, has the same ones.
func TestLevelWaterAgainstCellsJudgedOneByOne(t *testing.T) {
	g := mountains(801)
	for i, h := range g.HeightM {
		g.HeightM[i] = float32(math.Round(float64(max(h-650, 0))))
	}
	at := g.Post(400, 400)
	area := g.Extent().Bound
	opt := coverage.Options{RadiusM: 30e3, Area: &area}
	all := sweep(t, g, at, opt)
	opt.CellM = 2.0 / 3600 * 111e3
	every := sweep(t, g, at, opt)
	var margins, chances []float64
	same := 0
	for i, want := range every.Cells {
		k, ok := all.Index(every.Post(i%every.Cols, i/every.Cols))
		if !ok || all.Cells[k].State() != want.State() {
			t.Fatalf("cell %d: %v, in the sweep of all posts %v, %v", i, want, k, ok)
		}
		c := all.Cells[k]
		if c == want {
			same++
		}
		margins = append(margins, math.Abs(float64(c.MarginDB()-want.MarginDB())))
		chances = append(chances, math.Abs(c.Probability()-want.Probability()))
	}
	slices.Sort(margins)
	slices.Sort(chances)
	n := len(margins)
	t.Logf("%d of %d cells are the same; margins differ by %.3f dB in 99 of 100, by %.2f dB at most, chances by %.4f "+
		"and %.3f",
		same, n, margins[n*99/100], margins[n-1], chances[n*99/100], chances[n-1])
	if same > n*9/10 {
		t.Error("most cells are the same: the test is not what it says")
	}
	if margins[n*99/100] > 0.05 || margins[n-1] > 0.3 || chances[n*99/100] > 0.005 || chances[n-1] > 0.01 {
		t.Error("cells over level water are off")
	}
}
