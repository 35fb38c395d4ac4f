//go:build !purego

package linkbudget

import (
	"math/rand/v2"
	"testing"

	"golang.org/x/sys/cpu"
)

// The kernel finds the slopes that the Go code finds, on 2,000 random paths of 3 to 90
// points in even steps and others, with shifts and curvatures of none to a lot.
func TestSlopesKernelFindsTheSame(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	rng := rand.New(rand.NewPCG(9, 2))
	blocked, compared := 0, 0
	for range 2000 {
		n := 3 + rng.IntN(88)
		p := DiffractionPath{AHeightM: 1 + 20*rng.Float64(), BHeightM: 1 + 20*rng.Float64(), EffectiveRadiusM: 8.5e6}
		stepM, even := 20+100*rng.Float64(), rng.IntN(2) == 0
		for i := range n {
			x := stepM * float64(i)
			if !even && i > 0 && i < n-1 {
				x += stepM * 0.4 * rng.Float64()
			}
			p.DistM = append(p.DistM, x)
			p.GroundM = append(p.GroundM, 40*rng.Float64())
		}
		var r relief
		r.gather(&p, false)
		got := reliefSlopes{upM: float64(rng.IntN(3)) * 10 * rng.Float64(), curve: float64(rng.IntN(3)) * r.curve, otherCurve: 2 * r.curve}
		want := got
		if quickly := r.slopesQuickly(&got); quickly != (n >= 6) {
			t.Fatalf("%d points: done in vectors %t", n, quickly)
		} else if !quickly {
			continue
		}
		r.slopesOf(&want)
		if got != want {
			t.Fatalf("%d points: %+v, want %+v", n, got, want)
		}
		for _, s := range want.of {
			compared++
			if s.a >= 0 {
				blocked++
			}
		}
	}
	if blocked < compared/10 || blocked > compared*19/20 {
		t.Errorf("%d of %d views are blocked", blocked, compared)
	}
}
