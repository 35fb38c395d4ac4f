package coverage

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// Where all ground around is known, cells are taken by a shorter way. Cells and
// states are those of the longer one, which looks at every post that it needs: over
// ground with a lake of voids, a line of them, and single ones.
func TestShorterWayGivesTheSameCells(t *testing.T) {
	const n = 701
	rng := rand.New(rand.NewPCG(2, 5))
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 40, StepLonDeg: 1.0 / 3600, StepLatDeg: 1.0 / 3600, Cols: n, Rows: n},
		HeightM: make([]float32, n*n),
	}
	for i := range g.HeightM {
		x, y := float64(i%n), float64(i/n)
		g.HeightM[i] = float32(400 + 90*math.Sin(x/31)*math.Cos(y/43) + 20*math.Sin(x/7+y/9) + 2*rng.Float64())
	}
	void := func(col, row int) { g.HeightM[row*n+col] = terrain.VoidHeight() }
	for col := 500; col < 560; col++ {
		for row := 130; row < 170; row++ {
			void(col, row)
		}
	}
	for col := 40; col < 90; col++ {
		void(col, 600)
	}
	for range 6 {
		void(rng.IntN(n), rng.IntN(n))
	}
	var cells [2][]Cell
	for way := range cells {
		s, err := newSweep(context.Background(), linkbudget.DefaultStation("pole", 10),
			orb.Point{10 + 340.3/3600, 40 - 355.6/3600}, g, Options{
				RadiusM: 10.8e3, Receiver: linkbudget.DefaultStation("receiver", 2), FillVoidsM: 200,
				Environment: linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}},
			})
		if err != nil {
			t.Fatal(err)
		}
		if way == 1 {
			for i := range s.voids.unknown {
				s.voids.unknown[i] = true
			}
		}
		if err := s.run(context.Background()); err != nil {
			t.Fatal(err)
		}
		cells[way] = s.raster.Cells
	}
	states, apart := map[State]int{}, 0
	for i, c := range cells[0] {
		want := cells[1][i]
		if states[want.State()]++; c.State() != want.State() {
			t.Fatalf("cell %d is %v, want %v", i, c, want)
		}
		if !(math.Abs(float64(c.LossDB()-want.LossDB())) <= 0.05 && math.Abs(c.Probability()-want.Probability()) <= 0.005) {
			t.Errorf("cell %d is %v, want %v", i, c, want)
		}
		if c != want {
			apart++
		}
	}
	if states[Judged] < 100000 || states[Void] < 1000 || states[Hidden] < 1000 || apart < 100 {
		t.Errorf("states %v, %d cells not the same to the last bit", states, apart)
	}
}

// A post whose height is infinite is a void, as for a single path: in a grid whose
// heights are used in place, too.
func TestInfiniteHeightsAreVoids(t *testing.T) {
	const n = 301
	rng := rand.New(rand.NewPCG(3, 8))
	l := terrain.Lattice{WestDeg: 10, NorthDeg: 40, StepLonDeg: 1.0 / 3600, StepLatDeg: 1.0 / 3600, Cols: n, Rows: n}
	infinite, void := &terrain.Grid{Lattice: l, HeightM: make([]float32, n*n)},
		&terrain.Grid{Lattice: l, HeightM: make([]float32, n*n)}
	for i := range void.HeightM {
		h := float32(300 + 40*rng.Float64())
		infinite.HeightM[i], void.HeightM[i] = h, h
		if rng.IntN(2000) == 0 {
			infinite.HeightM[i], void.HeightM[i] = float32(math.Inf(1-2*rng.IntN(2))), terrain.VoidHeight()
		}
	}
	var cells [2][]Cell
	for k, g := range []*terrain.Grid{infinite, void} {
		r, err := Sweep(context.Background(), linkbudget.DefaultStation("pole", 10),
			orb.Point{10 + 150.3/3600, 40 - 151.6/3600}, g, Options{
				RadiusM: 3e3, Receiver: linkbudget.DefaultStation("receiver", 2),
				Environment: linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}},
			})
		if err != nil {
			t.Fatal(err)
		}
		cells[k] = r.Cells
	}
	states, apart := map[State]int{}, 0
	for i, want := range cells[1] {
		if states[want.State()]++; cells[0][i] != want {
			apart++
		}
	}
	if apart > 0 || states[Void] < 10 || states[Judged] < 10000 || states[Hidden] < 100 {
		t.Errorf("%d cells of %v differ", apart, states)
	}
}
