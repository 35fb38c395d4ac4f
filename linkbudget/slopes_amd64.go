//go:build !purego

package linkbudget

import "golang.org/x/sys/cpu"

// slopesCall is what the kernel of findSlopes needs, and its answer. The kernel counts
// on the order of the fields (see _kernel/slopes).
type slopesCall struct {
	upM, curve, otherCurve, lengthM [4]float64 // the same in all lanes
	dist, height, perX              *float64   // of the first inner point
	perY                            *float64   // of the fourth: it runs backwards
	back                            int        // from behind the last whole four to the last four, bytes
	slopes                          [shiftedViews]slopes
}

// slopesQuickly is slopesOf, and false where it cannot be done in vectors.
func (r *relief) slopesQuickly(s *reliefSlopes) bool {
	last := len(r.distM) - 1
	inner := last - 1
	if !cpu.X86.HasAVX2 || inner < 4 {
		return false
	}
	_, _, _, _ = r.distM[last], r.heightM[last], r.perX.of[last], r.perY.of[last]
	call := slopesCall{
		dist: &r.distM[1], height: &r.heightM[1], perX: &r.perX.of[1], perY: &r.perY.of[last-4],
		back: (4 - inner%4) % 4 * 8,
	}
	for i := range 4 {
		call.upM[i], call.curve[i], call.otherCurve[i], call.lengthM[i] = s.upM, s.curve, s.otherCurve, r.lengthM
	}
	slopesVectors(&call, inner/4)
	s.of = call.slopes
	return true
}

// slopesVectors, of _kernel/slopes, looks at so many whole fours, at least one, and at
// the last four points.
//
//go:noescape
func slopesVectors(call *slopesCall, fours int)
