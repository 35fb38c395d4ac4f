package coverage_test

import (
	"math"
	"math/rand"
	"runtime"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// A table counted cell by cell as its fields say, and the same bits on any number
// of cores.
func TestTableOnAnyCores(t *testing.T) {
	r := &coverage.Raster{Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 60, StepLonDeg: 0.01, StepLatDeg: 0.01, Cols: 37,
		Rows: 501}}
	random := rand.New(rand.NewSource(1))
	for range r.Cols * r.Rows {
		c := coverage.State(random.Intn(int(coverage.Foot) + 1)).Cell()
		if c.State() == coverage.Judged {
			c = coverage.Numbers{Probability: random.Float64()}.Cell()
		}
		r.Cells = append(r.Cells, c)
	}
	levels := []float64{90, 50, 99.9} // in no order
	var want coverage.Table
	want.UnjudgedByState = map[coverage.State]int{}
	want.Levels = make([]coverage.Level, len(levels))
	for i, c := range r.Cells {
		if c.State() == coverage.Beyond {
			continue
		}
		km2 := r.CellAreaM2(i/r.Cols) / 1e6
		want.WantedCells++
		want.WantedKm2 += km2
		if c.State() != coverage.Judged && c.State() != coverage.Foot {
			want.UnjudgedByState[c.State()]++
			want.UnjudgedKm2 += km2
		}
		for k, percent := range levels {
			if c.State() == coverage.Foot || c.State() == coverage.Judged && c.Probability()*100 >= percent {
				want.Levels[k].Cells++
				want.Levels[k].AreaKm2 += km2
			}
		}
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	first := r.Table(levels)
	near := func(got, want float64) bool { return math.Abs(got-want) <= 1e-9*want }
	if first.WantedCells != want.WantedCells || !cmp.Equal(first.UnjudgedByState, want.UnjudgedByState) ||
		!near(first.WantedKm2, want.WantedKm2) || !near(first.UnjudgedKm2, want.UnjudgedKm2) ||
		!near(first.UnjudgedShare, want.UnjudgedKm2/want.WantedKm2) {
		t.Errorf("found %+v, want %+v", first, want)
	}
	for k, l := range first.Levels {
		w := want.Levels[k]
		if l.Percent != levels[k] || l.Cells != w.Cells || !near(l.AreaKm2, w.AreaKm2) ||
			!near(l.Share, w.AreaKm2/(want.WantedKm2-want.UnjudgedKm2)) {
			t.Errorf("found %+v, want %+v", l, w)
		}
	}
	for _, cores := range []int{2, 3, 8} {
		runtime.GOMAXPROCS(cores)
		if diff := cmp.Diff(first, r.Table(levels)); diff != "" {
			t.Errorf("%d cores: %s", cores, diff)
		}
	}
}
