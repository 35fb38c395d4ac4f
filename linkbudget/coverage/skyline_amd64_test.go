//go:build !purego

package coverage

import (
	"math/rand/v2"
	"testing"

	"golang.org/x/sys/cpu"
)

// The kernel gives the bits of the Go code, whatever stands behind the last point.
func TestHorizonKernelGivesTheSameBits(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	rng := rand.New(rand.NewPCG(9, 1))
	for range 20000 {
		n := 1 + rng.IntN(mostScanned)
		g := bareGround{make([]float32, n+7), make([]float32, n+7)}
		x := float32(20)
		for k := range g.dist {
			x += 1 + 300*rng.Float32()
			g.dist[k], g.overM[k] = x, float32(rng.IntN(40))*20-300 // ties
			if k >= n {
				g.dist[k], g.overM[k] = x*rng.Float32(), 1e5
			}
		}
		b := receiver{g.dist[n-1] + 1 + 100*rng.Float32(), 400*rng.Float32() - 300, 0.1 * (rng.Float32() - 0.5), 5.9e-8}
		if got, want := g.horizon(n, b), g.horizonByOne(n, b); got != want {
			t.Fatalf("%d points, %+v: kernel %+v, Go %+v", n, b, got, want)
		}
	}
}
