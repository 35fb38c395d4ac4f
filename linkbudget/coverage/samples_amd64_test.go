//go:build !purego

package coverage

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"golang.org/x/sys/cpu"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// Samples laid four at a time have the bits of those laid one by one, from anywhere in
// a run to anywhere, over known ground and over voids.
func TestLayKernelGivesTheSameBits(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	const n = 801
	rng := rand.New(rand.NewPCG(5, 6))
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 40, StepLonDeg: 1.0 / 3600, StepLatDeg: 1.0 / 3600, Cols: n, Rows: n},
		HeightM: make([]float32, n*n),
	}
	for i := range g.HeightM {
		g.HeightM[i] = float32(800+rng.IntN(2000)) / 4
		if rng.IntN(200) == 0 {
			g.HeightM[i] = terrain.VoidHeight()
		}
	}
	at := orb.Point{10.1, 39.91}
	g.HeightM[324*n+360] = 300
	s, err := newSweep(context.Background(), linkbudget.DefaultStation("pole", 10), at, g, Options{
		RadiusM: 20e3, Receiver: linkbudget.DefaultStation("receiver", 2),
		Environment: linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}},
	})
	if err != nil {
		t.Fatal(err)
	}
	w := s.newWorker()
	plain, unknown := 0, 0
	for number := range quadrants {
		c := &w.crossings[number]
		if !c.lined {
			t.Fatalf("quadrant %d has samples between lines", number)
		}
		want, got := newRay(len(c.samples)), newRay(len(c.samples))
		for p := -300; p <= 300; p += 7 {
			want.aim(s.rays, c, 0, p)
			got.aim(s.rays, c, 0, p)
			for i := c.even; i < len(c.samples); {
				u, k := want.run(c, i, &s.judge.set)
				first := i
				i += min(placeRun-k, len(c.samples)-i)
				if !u.plain {
					continue
				}
				from := first + rng.IntN(i-first)
				stop := from + 1 + rng.IntN(i-from)
				k += from - first
				plain++
				bad := want.sampleByOne(&u, k, from, stop)
				if bad {
					unknown++
				}
				// What the last vector reaches past the end may be unknown as well.
				if kernel := got.sample(&u, k, from, stop); kernel != bad && (bad || (stop-from)%4 == 0) {
					t.Fatalf("samples %d to %d: unknown ground %v by one, %v by the kernel", from, stop, bad, kernel)
				}
				for j := from; j < stop; j++ {
					for row, pair := range [][2]float64{
						{want.cross[j], got.cross[j]}, {want.dist[j], got.dist[j]}, {want.per[j], got.per[j]},
						{want.h[j], got.h[j]}, {want.y[j], got.y[j]},
						{float64(want.low[j]), float64(got.low[j])}, {float64(want.high[j]), float64(got.high[j])},
					} {
						if w, x := pair[0], pair[1]; math.Float64bits(w) != math.Float64bits(x) && !(w != w && x != x) {
							t.Fatalf("row %d of sample %d: kernel %v, Go %v", row, j, x, w)
						}
					}
				}
			}
		}
	}
	if plain < 1000 || unknown < 100 || plain-unknown < 100 {
		t.Errorf("only %d runs, %d with unknown ground", plain, unknown)
	}
}
