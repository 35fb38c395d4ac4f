package coverage

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// No two pieces write the same cell: workers take pieces at any time. The pole also
// stands on a post, on a line of posts, and beside both by little.
func TestNoCellHasTwoOwners(t *testing.T) {
	const n = 41
	rapid.Check(t, func(t *rapid.T) {
		g := &terrain.Grid{
			Lattice: terrain.Lattice{
				WestDeg: rapid.Float64Range(-180, 180).Draw(t, "lon"), NorthDeg: rapid.Float64Range(-70, 70).Draw(t, "lat"),
				StepLonDeg: 1.0 / 1200, StepLatDeg: 1.0 / 1200, Cols: n, Rows: n,
			},
			HeightM: make([]float32, n*n),
		}
		place := func(label string) float64 {
			x := rapid.Float64Range(5, n-6).Draw(t, label)
			if rapid.Bool().Draw(t, label+" on a post") {
				off, by := rapid.IntRange(-4, 4).Draw(t, label+" off"), rapid.IntRange(3, 15).Draw(t, label+" by")
				x = math.Round(x) + float64(off)*math.Pow10(-by)
			}
			return x
		}
		at := orb.Point{g.WestDeg + place("x")*g.StepLonDeg, g.NorthDeg - place("y")*g.StepLatDeg}
		s, err := newSweep(context.Background(), linkbudget.DefaultStation("pole", 10), at, g, Options{
			RadiusM: rapid.Float64Range(200, 2500).Draw(t, "radius"), Receiver: linkbudget.DefaultStation("receiver", 2),
			Environment: linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}},
		})
		if err != nil {
			t.Fatal(err)
		}
		owner := make(map[int]piece)
		b := s.newWorker()
		for _, p := range s.pieces() {
			clear(s.raster.Cells)
			if err := b.sweep(context.Background(), p); err != nil {
				t.Fatal(err)
			}
			for i, cell := range s.raster.Cells {
				if cell.State() == Beyond {
					continue
				}
				if first, ok := owner[i]; ok {
					t.Fatalf("pieces %v and %v both have the cell at column %d, row %d", first, p, i%s.raster.Cols, i/s.raster.Cols)
				}
				owner[i] = p
			}
		}
	})
}
