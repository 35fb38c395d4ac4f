//go:build !purego

package terrain

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"golang.org/x/sys/cpu"
)

// The kernel gives the bits of the Go code, along 500 lines of 1 to 40 points over
// ground of random heights; one of the posts is missing.
func TestWalkKernelGivesTheSameBits(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	rng := rand.New(rand.NewPCG(3, 8))
	g := &Grid{Lattice: Lattice{WestDeg: 11, NorthDeg: 50, StepLonDeg: 1.0 / 1200, StepLatDeg: 1.0 / 1200, Cols: 61, Rows: 43}}
	g.HeightM = make([]float32, g.Cols*g.Rows)
	for i := range g.HeightM {
		g.HeightM[i] = float32(rng.Float64() * 800)
	}
	g.HeightM[20*g.Cols+30] = VoidHeight()
	voids := 0
	for range 500 {
		n := 2 + rng.IntN(40)
		profile := func() *Profile {
			return &Profile{DistM: make([]float64, n), HeightM: make([]float64, n), Points: make([]orb.Point, n), Flags: make([]Flag, n)}
		}
		inside := func() slope {
			return slope{deg: 0.001 + 0.034*rng.Float64(), perSegment: 0}
		}
		from, to := inside(), inside()
		from.perSegment = to.deg - from.deg
		to.perSegment = from.perSegment
		lon := hermite(from, to)
		lon.c0 += g.WestDeg
		from, to = inside(), inside()
		from.perSegment, to.perSegment = to.deg-from.deg, to.deg-from.deg
		lat := hermite(from, to)
		lat.c0 += g.NorthDeg - 0.035
		want, got := profile(), profile()
		lengthM := 500 + 3000*rng.Float64()
		known := finite(want.walkSlowly(g, lon, lat, lengthM))
		if k := got.walk(g, lon, lat, lengthM); k != known {
			t.Fatalf("%d points: heights known: %t, want %t", n, k, known)
		}
		if !known {
			voids++
		}
		bits := func(x, y float64) bool { return math.Float64bits(x) == math.Float64bits(y) || x != x && y != y }
		if diff := cmp.Diff(want, got, cmp.Comparer(bits)); diff != "" {
			t.Fatalf("%d points: %s", n, diff)
		}
	}
	if voids == 0 || voids > 250 {
		t.Errorf("%d of 500 lines met the void", voids)
	}
}
