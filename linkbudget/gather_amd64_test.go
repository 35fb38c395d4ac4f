//go:build !purego

package linkbudget

import (
	"math"
	"math/rand/v2"
	"testing"

	"golang.org/x/sys/cpu"
)

// The kernel finds the heights, blocks and leaders that the Go code finds, and the
// sums but for rounding, on 2,000 random paths of 3 to 80 points; the Go code takes
// over where there is clutter, here one of height 0.
func TestGatherKernelFindsTheSame(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	rng := rand.New(rand.NewPCG(5, 1))
	blocked := 0
	for range 2000 {
		n := 3 + rng.IntN(78)
		p := DiffractionPath{AHeightM: 1 + 20*rng.Float64(), BHeightM: 1 + 20*rng.Float64(), EffectiveRadiusM: 8.5e6}
		stepM, even := 20+100*rng.Float64(), rng.IntN(2) == 0
		for i := range n {
			x := stepM * float64(i)
			if !even && i > 0 && i < n-1 {
				x += stepM * 0.4 * rng.Float64()
			}
			p.DistM = append(p.DistM, x)
			p.GroundM = append(p.GroundM, math.Round(40*rng.Float64())) // ties are frequent
		}
		var want, got relief
		got.gather(&p, false)
		p.ClutterM = make([]float64, n)
		want.gather(&p, false)
		for i := 1; i < n-1; i++ {
			if got.heightM[i] != want.heightM[i] {
				t.Fatalf("point %d of %d: %v m over the ray, want %v", i, n, got.heightM[i], want.heightM[i])
			}
		}
		for k := range want.bareM {
			if got.bareM[k] != want.bareM[k] {
				t.Fatalf("block %d of %d points: %v m, want %v", k, n, got.bareM[k], want.bareM[k])
			}
		}
		if got.leading != want.leading || got.highestM != want.highestM {
			t.Fatalf("%d points: %+v and %v m, want %+v and %v m", n, got.leading, got.highestM, want.leading, want.highestM)
		}
		if want.leading.a != 0 {
			blocked++
		}
		scale := 40 * p.DistM[n-1]
		if !(math.Abs(got.sum-want.sum) <= 1e-12*scale) || !(math.Abs(got.moment-want.moment) <= 1e-12*scale*p.DistM[n-1]) {
			t.Fatalf("%d points: sums %v and %v, want %v and %v", n, got.sum, got.moment, want.sum, want.moment)
		}
	}
	if blocked < 200 || blocked > 1900 {
		t.Errorf("%d of 2000 paths are blocked", blocked)
	}
}
