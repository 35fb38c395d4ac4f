//go:build !purego

package linkbudget

import (
	"golang.org/x/sys/cpu"
)

// gatherCall is what the kernel of gather needs, and its answers. The kernel counts
// on the order of the fields (see _kernel).
type gatherCall struct {
	rayA, slope, curve, lengthM   float64
	dist, ground, height, highest *float64 // of the first inner point
	perX, perRootX                *float64
	perY, perRootY                *float64 // of the fourth inner point: they run backwards
	sum, moment, top              float64  // top is the highest of all heights
	most, index                   [5]float64
}

// gatherQuickly gathers whole blocks of bare ground, all of them, and returns how
// many those are. In g, which holds the first sums, nothing leads yet.
func (r *relief) gatherQuickly(ground, clutter []float64, slope, rayA float64, perX, perY *reciprocalsOf, g *soFar) int {
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
	}
	gatherVectors(&call, blocks)
	g.sum += call.sum
	g.moment += call.moment
	g.highest = call.top
	for i := range call.index { // one by one: an array just written is slow to copy
		g.most[i], g.at[i] = call.most[i], int(call.index[i])
	}
	return blocks
}

// gatherVectors, of _kernel, gathers so many whole blocks, at least one.
//
//go:noescape
func gatherVectors(call *gatherCall, blocks int)
