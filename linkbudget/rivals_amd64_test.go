//go:build !purego

package linkbudget

import (
	"bytes"
	"math"
	"math/rand/v2"
	"testing"

	"golang.org/x/sys/cpu"
)

// The kernel marks the points that the Go code marks, on 2,000 random paths of 10 to
// 90 points, with shifts and curvatures of none to a lot.
func TestRivalsKernelMarksTheSame(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	rng := rand.New(rand.NewPCG(9, 2))
	marked, points := 0, 0
	for range 2000 {
		n := 10 + rng.IntN(81)
		p := DiffractionPath{AHeightM: 1 + 20*rng.Float64(), BHeightM: 1 + 20*rng.Float64(), EffectiveRadiusM: 8.5e6}
		for i := range n {
			p.DistM = append(p.DistM, 90*float64(i))
			p.GroundM = append(p.GroundM, math.Round(40*rng.Float64())) // ties are frequent
		}
		var r relief
		r.gather(&p, true)
		point := func() reliefPoint { return r.point(1+rng.IntN(n-2), reliefView{curve: r.curve}) }
		a, b := point(), point()
		upM, curve := float64(rng.IntN(3))*10*rng.Float64(), float64(rng.IntN(3))*r.curve
		r.markRivals(a, b, upM, curve)
		got := bytes.Clone(r.rivals.marks)
		for i := 1; i < n-1; i++ {
			x, bit := r.distM[i], byte(1)<<((i-1)%blockPoints)
			want := rivals(r.heightM[i], x, r.heightM[a.i], a.xM, upM, curve) || rivals(r.heightM[i], r.lengthM-x, r.heightM[b.i], b.yM, upM, curve)
			if is := got[(i-1)/blockPoints]&bit != 0; is != want {
				t.Fatalf("point %d of %d: a rival %t, want %t", i, n, is, want)
			}
			points++
			if want {
				marked++
			}
		}
		if beyond := got[len(got)-1] >> ((n-3)%blockPoints + 1); beyond != 0 {
			t.Fatalf("%d points: marks %b beyond the last", n, beyond)
		}
	}
	if marked < points/50 || marked > points*49/50 {
		t.Errorf("%d of %d points are rivals", marked, points)
	}
}
