//go:build !purego

package linkbudget

import (
	"math"

	"golang.org/x/sys/cpu"
)

// gatherCall is what the kernel of gather needs, and its answers. The kernel counts
// on the order of the fields (see _kernel).
type gatherCall struct {
	rayA, slope, curve, lengthM   float64
	dist, ground, height, highest *float64 // of the first inner point
	perX, perRootX                *float64
	perY, perRootY                *float64 // of the fourth inner point: they run backwards
	number, sum, moment           [4]float64
	most, index                   [5][4]float64
}

// gatherQuickly gathers whole blocks of bare ground, all of them, and returns how
// many those are.
func (r *relief) gatherQuickly(ground, clutter []float64, slope, rayA float64, perX, perY reciprocalsOf, g *soFar) int {
	last := len(ground) - 1
	blocks := (last - 1) / blockPoints
	if !cpu.X86.HasAVX2 || clutter != nil || blocks == 0 {
		return 0
	}
	_, _, _ = r.distM[last], r.heightM[last], r.bareM[blocks-1]
	_, _, _, _ = perX.of[last], perX.ofRoot[last], perY.of[last], perY.ofRoot[last]
	call := gatherCall{
		rayA: rayA, slope: slope, curve: r.curve, lengthM: r.lengthM,
		dist: &r.distM[1], ground: &ground[1], height: &r.heightM[1], highest: &r.bareM[0],
		perX: &perX.of[1], perRootX: &perX.ofRoot[1], perY: &perY.of[last-4], perRootY: &perY.ofRoot[last-4],
		number: [4]float64{1, 2, 3, 4},
	}
	for i := range call.most {
		for k := range call.most[i] {
			call.most[i][k] = g.most[i]
		}
	}
	gatherVectors(&call, blocks)
	for k := range call.sum {
		g.sum += call.sum[k]
		g.moment += call.moment[k]
	}
	for i := range g.most {
		at := math.Inf(1)
		for k, m := range call.most[i] {
			if n := call.index[i][k]; m > g.most[i] || m == g.most[i] && n < at {
				g.most[i], at = m, n
			}
		}
		if at < math.Inf(1) {
			g.at[i] = int(at)
		}
	}
	return blocks
}

// gatherVectors, of _kernel, gathers so many whole blocks, at least one.
//
//go:noescape
func gatherVectors(call *gatherCall, blocks int)
