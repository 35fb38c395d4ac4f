//go:build !purego

package linkbudget

import "golang.org/x/sys/cpu"

// rivalsCall is what the kernel of markRivals needs. The kernel counts on the order of
// the fields (see _kernel/rivals).
type rivalsCall struct {
	upM, curve, lengthM float64
	hA, xA, hB, yB      float64
	dist, height        *float64 // of the first inner point
	marks               *byte
}

// markRivalsQuickly marks the rivals in whole blocks, all of them, and returns how
// many those are.
func (r *relief) markRivalsQuickly(a, b reliefPoint, mostUpM, mostCurve float64) int {
	last := len(r.distM) - 1
	blocks := (last - 1) / blockPoints
	if !cpu.X86.HasAVX2 || blocks == 0 {
		return 0
	}
	marks := r.rivals.marks
	_, _, _ = r.distM[last], r.heightM[last], marks[blocks-1]
	rivalsVectors(&rivalsCall{
		upM: mostUpM, curve: mostCurve, lengthM: r.lengthM,
		hA: r.heightM[a.i], xA: a.xM, hB: r.heightM[b.i], yB: b.yM,
		dist: &r.distM[1], height: &r.heightM[1], marks: &marks[0],
	}, blocks)
	return blocks
}

// rivalsVectors, of _kernel/rivals, marks the rivals in so many whole blocks, at least
// one: a byte for each, the first point in its lowest bit.
//
//go:noescape
func rivalsVectors(call *rivalsCall, blocks int)
