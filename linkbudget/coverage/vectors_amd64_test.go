//go:build !purego

package coverage

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"unsafe"

	"golang.org/x/sys/cpu"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
)

// The kernel gives the bits of the Go code, for lanes of all kinds and three
// scenes; the lanes behind the last one are the only ones it may spoil.
func TestKernelGivesTheSameBits(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	rng := rand.New(rand.NewPCG(4, 2))
	for name, env := range map[string]linkbudget.Environment{
		"868 MHz":        {FreqHz: 868e6},
		"433 MHz, k 1":   {FreqHz: 433e6, K: 1, Terrain: diffraction.TerrainError{SigmaM: 3, CorrelationM: 400}},
		"2.4 GHz, k 2.5": {FreqHz: 2.4e9, K: 2.5},
	} {
		env.Modem = linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}
		b := linkbudget.DefaultStation("b", 2)
		if name == "868 MHz" {
			b.Polarisation = radio.Horizontal
		}
		area, err := linkbudget.NewArea(linkbudget.DefaultStation("a", 6), b, env)
		if err != nil {
			t.Fatal(err)
		}
		s := newConstants(area, 300)
		for i, antenna := range []linkbudget.Antenna{area.A.Antenna, area.B.Antenna} {
			g, err := newGainTable(antenna)
			if err != nil {
				t.Fatal(err)
			}
			*[]*[]float32{&s.gainA, &s.gainB}[i] = g.even()
		}
		kinds := map[string]int{}
		x, err := newExcess(context.Background(), area, 200e3, cellsForATable, 1)
		if err != nil {
			t.Fatal(err)
		}
		x.tell(&s)
		for range 3000 {
			n := 1 + rng.IntN(lanesAtOnce)
			var want lanes
			for i := range n {
				randomLane(rng, &want, i)
			}
			got := want
			s.eachByOne(&want, n, (*constants).edge)
			edgeVectors(&s, &got, vectorsOf(n))
			for i := range n {
				kinds[kindOf(&want, i)]++
			}
			s.eachByOne(&want, n, (*constants).smoothEarth)
			smoothEarthVectors(&s, &got, vectorsOf(n))
			for i := range n {
				switch {
				case want.smooth[i] == 0:
				case want.within[i] > 0:
					kinds["outside the tables"]++
				case want.d[i]*root(s.curve[0]) < root(want.hA[i])+root(want.hB[i]):
					kinds["within the horizon"]++
				default:
					kinds["beyond the horizon"]++
				}
				if w := want.within[i]; w > 0 {
					want.excess[i] = float32(30 * rng.Float64())
					got.excess[i] = want.excess[i]
				}
			}
			s.eachByOne(&want, n, (*constants).edgeOver)
			edgeOverVectors(&s, &got, vectorsOf(n))
			for i := range n {
				own := want.other[i]
				want.other[i] = []float32{own, 0, own + float32(30*rng.Float64()-10)}[rng.IntN(3)]
				want.most[i] = []float32{infinite, float32(20 * rng.Float64())}[rng.IntN(2)]
				if want.other[i] > own {
					kinds["another edge"]++
				}
				if got.other[i] != own {
					t.Fatalf("%s: loss over the edge of lane %d: kernel %v, Go %v", name, i, got.other[i], own)
				}
			}
			got.other, got.most = want.other, want.most
			s.eachByOne(&want, n, (*constants).verdict)
			verdictVectors(&s, &got, vectorsOf(n))
			for k, w := range rowsOf(&want) {
				for i, x := range rowsOf(&got)[k][:n] {
					if math.Float32bits(x) != math.Float32bits(w[i]) && !(x == 0 && w[i] == 0) {
						t.Fatalf("%s: row %d of lane %d: kernel %v, Go %v; d %v, nu %v, a %v, b %v", name, k, i, x, w[i], want.d[i],
							want.nu[i], want.a[i], want.b[i])
					}
				}
			}
		}
		for _, kind := range []string{"behind", "in sight", "free", "outside the tables", "within the horizon",
			"beyond the horizon", "another edge"} {
			if kinds[kind] < 1000 {
				t.Errorf("%s: only %d lanes %s", name, kinds[kind], kind)
			}
		}
	}
}

// So do the searches for the near ground, for lanes that have it already too, and for
// the effective heights.
func TestGroundKernelsGiveTheSameBits(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	rng := rand.New(rand.NewPCG(7, 1))
	s := constants{
		antennaM: vectorOf(412.5), poleM: vectorOf(6), rxM: vectorOf(2), footM: vectorOf(4),
		clearCurve: vectorOf(1.0 / (8 * 8.5e6)), clearRoot: vectorOf(0.16),
	}
	kinds := map[string]int{}
	const n = 40 // posts by posts
	for range 2000 {
		across := []int32{1, n}[rng.IntN(2)]
		g := posts{h: make([]float32, n*n), across: placesOf(across),
			back: placesOf((n + 1 - across) * int32(2*rng.IntN(2)-1))}
		for i := range g.h {
			g.h[i] = float32(rng.IntN(8000)) / 4
		}
		var want lanes
		for k := range lanesAtOnce {
			want.post[k] = int32((mostDrift+rng.IntN(n-2*mostDrift))*n + mostDrift + rng.IntN(n-2*mostDrift))
			randomLane(rng, &want, k)
			want.drift[k], want.part[k] = float32((2*rng.Float64()-1)*mostDrift/nearSamples), 30/want.d[k]
			want.beside[k] = want.d[k] * float32(20*rng.NormFloat64())
			if rng.IntN(4) == 0 {
				want.post[k], want.nearH[1][k], want.nearR[1][k] = -1, float32(rng.NormFloat64()), float32(rng.Float64())
			}
		}
		got := want
		s.nearByOne(&want, &g, lanesAtOnce)
		nearVectors(&s, &got, vectorsOf(lanesAtOnce), &g)
		s.eachByOne(&want, lanesAtOnce, (*constants).effectiveHeights)
		heightVectors(&s, &got, vectorsOf(lanesAtOnce))
		for k := range lanesAtOnce {
			kinds[fmt.Sprintf("obstructed %v", want.alpha[k] > 0 && want.over[k] > 0)]++
			kinds[fmt.Sprintf("smooth %v", want.smooth[k])]++
		}
		for k, w := range rowsOf(&want) {
			for i, x := range rowsOf(&got)[k] {
				if math.Float32bits(x) != math.Float32bits(w[i]) {
					t.Fatalf("row %d of lane %d: kernel %v, Go %v; drift %v", k, i, x, w[i], want.drift[i])
				}
			}
		}
	}
	for _, kind := range []string{"obstructed true", "obstructed false", "smooth 0", "smooth 1"} {
		if kinds[kind] < 1000 {
			t.Errorf("only %d lanes %s", kinds[kind], kind)
		}
	}
}

// Cells too are the same bits: of answers as they come, and of all others that there
// could be, on both sides of every limit and every half.
func TestKernelMakesTheSameCells(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	rng := rand.New(rand.NewPCG(4, 3))
	inf, nan := math.Inf(1), math.NaN()
	odd := []float64{0, math.Copysign(0, -1), 0.005, -0.005, 0.125, -0.125, 100.625, -100.625, 327.67, 327.675, 327.68,
		-327.67, -327.675, -327.68, 655.35, 655.355, 655.36, -1, 1e9, -1e9, 1e38, -1e38, inf, -inf, nan}
	chances := []float64{0, 1, 0.5, 1.0 / (1 << 28), 0.9 / (1 << 28), float64(math.Nextafter32(1, 0)),
		float64(math.Nextafter32(1, 2)), -1, 7, 8, 1e30, inf, -inf, nan}
	kinds := map[State]int{}
	for range 20000 {
		n := 1 + rng.IntN(lanesAtOnce)
		var l lanes
		for i := range n {
			l.loss[i], l.margin[i], l.probability[i] = float32(300*rng.Float64()), float32(200*rng.Float64()-100), rng.Float32()
			switch rng.IntN(4) {
			case 0:
				l.loss[i], l.margin[i], l.probability[i] = float32(odd[rng.IntN(len(odd))]), float32(odd[rng.IntN(len(odd))]),
					float32(chances[rng.IntN(len(chances))])
			case 1: // eighths of a decibel, of which every fourth is a half step
				l.loss[i], l.margin[i], l.probability[i] = float32(rng.IntN(5200))/8, float32(rng.IntN(5200)-2600)/8,
					l.probability[i]*l.probability[i]*1e-6
			}
		}
		var want, got [lanesAtOnce]Cell
		l.cellsByOne(&want, n)
		cellVectors(&l, &got, vectorsOf(n))
		for i, w := range want[:n] {
			if kinds[w.State()]++; got[i] != w {
				t.Fatalf("lane %d of %d: kernel %v, Go %v; loss %v, margin %v, probability %v", i, n, got[i], w, l.loss[i],
					l.margin[i], l.probability[i])
			}
		}
	}
	if len(kinds) != 2 || kinds[Judged] < 1000 || kinds[Hidden] < 1000 {
		t.Errorf("cells %v", kinds)
	}
}

func rowsOf(l *lanes) *[unsafe.Sizeof(lanes{}) / unsafe.Sizeof(row{})]row {
	return (*[unsafe.Sizeof(lanes{}) / unsafe.Sizeof(row{})]row)(unsafe.Pointer(l))
}

// kindOf names where a path runs.
func kindOf(l *lanes, i int) string {
	switch {
	case l.nu[i] > 0:
		return "behind"
	case l.nu[i] > lowestNu:
		return "in sight"
	}
	return "free"
}

// randomLane fills a lane with a path that could be.
func randomLane(rng *rand.Rand, l *lanes, i int) {
	random := func(from, to float64) float64 { return from * math.Pow(to/from, rng.Float64()) }
	d := random(120, 300e3)
	l.d[i], l.rise[i] = float32(d), float32((rng.Float64()-0.5)*min(d, 4000))
	l.gain[i], l.clutter[i], l.steady2[i] = float32(-20+30*rng.Float64()), float32(20*rng.Float64()),
		float32(10*rng.Float64())
	l.first[i], l.second[i], l.gap[i] = float32(100*rng.NormFloat64()), float32(150*rng.NormFloat64()), float32(30/d)
	if rng.IntN(4) > 0 {
		l.alpha[i], l.beta[i], l.over[i] = float32(random(1e-6, 0.3)), float32(random(1e-6, 0.3)-1e-3),
			float32(random(1, 800)-5)
	}
	l.hA[i], l.hB[i], l.smooth[i] = float32(random(0.1, 5000)), float32(random(0.1, 5000)), float32(rng.IntN(2))
	l.farA[i], l.farB[i], l.farQ[i] = -1, -1, float32(math.Inf(1))
	xA := d * rng.Float64()
	xB := xA + (d-xA)*rng.Float64()
	switch rng.IntN(3) {
	case 0:
		l.farA[i], l.farB[i] = float32(random(1e-7, 1)), float32(random(1e-7, 1))
	case 1:
		l.farQ[i], xB = float32(random(1e-6, 10)/d), xA
	default:
		xA, xB = d/2, d/2
	}
	l.farX[i], l.farR[i] = float32(xA), float32(d-xB)
	l.farU[i], l.farV[i] = float32(rng.Float64()), float32(rng.Float64())
	highM := -10.0 // of the near ground: mostly below the ray, in steep country too
	if rng.IntN(3) == 0 {
		highM = 3
	}
	for m := range nearSamples {
		l.nearR[m][i] = float32(random(0.5, 30) * float64(nearSamples-m))
		often := []float64{1, 1, 1, 1, 1, 1, 0}[rng.IntN(7)]
		l.nearH[m][i] = float32(highM*rng.Float64()*often - float64(l.rise[i])/d*float64(l.nearR[m][i]))
		if rng.IntN(20) == 0 {
			l.nearH[m][i] = noGround
		}
	}
}
