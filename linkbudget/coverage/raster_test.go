package coverage_test

import (
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
)

// Degrees of longitude that mean one place find one cell; places beside the
// raster find none.
func TestIndexOfAPlace(t *testing.T) {
	r := raster(179, "###", "###") // 178.5 to 181.5 by 8.5 to 10.5
	for _, c := range []struct {
		at   orb.Point
		want int
		ok   bool
	}{
		{orb.Point{179, 10}, 0, true}, {orb.Point{180, 10}, 1, true}, {orb.Point{-180, 10}, 1, true}, {orb.Point{181.4, 9.4}, 5, true}, {orb.Point{-178.6, 9.4}, 5, true},
		{orb.Point{-179 - 360, 8.6}, 5, true}, {orb.Point{-178.4, 9}, 0, false}, {orb.Point{178.4, 9}, 0, false}, {orb.Point{180, 10.6}, 0, false}, {orb.Point{0, 9}, 0, false},
	} {
		if i, ok := r.Index(c.at); ok != c.ok || i != c.want {
			t.Errorf("%v: cell %d, %v; want %d, %v", c.at, i, ok, c.want, c.ok)
		}
	}
}

func TestVerdictOfACell(t *testing.T) {
	r := raster(0, "#") // wants 90 %
	for _, c := range []struct {
		cell coverage.Cell
		want linkbudget.Verdict
	}{
		{coverage.Numbers{Probability: 0.91}.Cell(), linkbudget.Reaches}, {coverage.Numbers{Probability: 0.89}.Cell(), linkbudget.Marginal},
		{coverage.Numbers{Probability: 0.5}.Cell(), linkbudget.Marginal}, {coverage.Numbers{Probability: 0.49}.Cell(), linkbudget.Short},
		{coverage.Foot.Cell(), linkbudget.Reaches}, {coverage.Void.Cell(), linkbudget.Unknown}, {coverage.Outside.Cell(), linkbudget.Unknown},
		{coverage.Hidden.Cell(), linkbudget.Unknown}, {coverage.Cell{}, linkbudget.Unknown},
	} {
		if got := r.Verdict(c.cell); got != c.want {
			t.Errorf("%v: %v, want %v", c.cell, got, c.want)
		}
	}
}
